// The same problem, seed and steps give the same plan, byte for byte, whatever the machine's time zone.
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { randomProblem } from '../../seeds/random-problem.ts'
import { sampled, WHOLE } from '../support/sampled.ts'

const folder = mkdtempSync(join(tmpdir(), 'fillwright-'))
afterAll(() => rmSync(folder, { recursive: true }))

function planBytes(problemPath: string, seed: number, timeZone: string): string {
  const out = join(folder, `plan-${seed}-${timeZone.replace('/', '-')}.json`)
  const script = [
    '--import',
    'tsx',
    'src/command-line/plan.ts',
    problemPath,
    '--steps',
    '120',
    '--seed',
    String(seed),
    '--out',
    out,
  ]
  execFileSync(process.execPath, script, { env: { ...process.env, TZ: timeZone } })
  return readFileSync(out, 'utf8')
}

describe.runIf(WHOLE)('a plan under a step limit', () => {
  it.each(sampled(['CLOCK_CHANGE', 'MIXED', 'SEVERAL_SITES'] as const, 1))(
    'is the same bytes under two time zones of the machine (%s)',
    (kind) => {
      const path = join(folder, `${kind}.json`)
      writeFileSync(path, JSON.stringify(randomProblem(5, kind)))
      const here = planBytes(path, 3, 'Europe/London')
      expect(planBytes(path, 3, 'Australia/Lord_Howe')).toBe(here)
    },
  )
})
