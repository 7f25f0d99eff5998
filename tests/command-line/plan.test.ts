// npm run plan and npm run promise on files: what they print where, and one of them as a user runs it.
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { randomProblem } from '../../seeds/random-problem.ts'
import { tinyProblem } from '../../seeds/small-problem.ts'
import { plan } from '../../src/command-line/plan.ts'
import { promise } from '../../src/command-line/promise.ts'
import { checkPlan, parsePlan, parseProblem } from '../../src/planner/index.ts'
import { ran } from '../support/run-command.ts'
import { LONG, WHOLE } from '../support/sampled.ts'

const folder = mkdtempSync(join(tmpdir(), 'fillwright-'))
const file = (name: string) => join(folder, name)
const problem = randomProblem(3, 'MIXED')

beforeAll(() => writeFileSync(file('problem.json'), JSON.stringify(problem)))
afterAll(() => rmSync(folder, { recursive: true }))

describe('npm run plan', () => {
  it('writes a valid plan, and nothing else, to the standard output', async () => {
    const { stdout, code } = await ran(plan, file('problem.json'), '--steps', '50')
    expect(code).toBe(0)
    const parsed = parsePlan(JSON.parse(stdout), problem)
    expect(parsed.ok && checkPlan(problem, parsed.plan).violations).toEqual([])
  })

  it.runIf(WHOLE)(
    'says no word of its own when npm runs it silently, so that its output can go on to other programs',
    async () => {
      const words = ['run', '-s', 'plan', '--', file('problem.json'), '--steps', '5']
      const { stdout, status } = spawnSync('npm', words, { encoding: 'utf8' })
      expect(status).toBe(0)
      expect(parsePlan(JSON.parse(stdout), problem)).toMatchObject({ ok: true })
    },
  )

  it.runIf(LONG)(
    'gives the same plan from two threads each time, with a lower bound or without, and names a bound that the plan keeps',
    async () => {
      const args = [file('problem.json'), '--steps', '20', '--threads', '2']
      const first = await ran(plan, ...args, '--bound')
      expect((await ran(plan, ...args)).stdout).toBe(first.stdout)
      const [, cost, bound] = /Cost ([\d.]+), lower bound ([\d.]+) \(\w+\), gap/.exec(first.stderr) ?? []
      expect(Number(bound)).toBeLessThanOrEqual(Number(cost))
    },
  )

  it('says that no plan costs less, where that is proven within the seconds', { timeout: 60_000 }, async () => {
    writeFileSync(file('tiny.json'), JSON.stringify(tinyProblem(2)))
    const { stderr, code } = await ran(plan, file('tiny.json'), '--seconds', '30')
    expect(code).toBe(0)
    expect(stderr).toMatch(/Cost [\d.]+, no plan costs less\n/)
  })

  it('lists every fault of a broken problem and exits with 2', async () => {
    const broken = {
      ...problem,
      today: '2027-02-31',
      extra: 1,
      vessels: [{ ...problem.vessels[0], minFillLitres: 1e6 }],
    }
    writeFileSync(file('broken.json'), JSON.stringify(broken))
    const parsed = parseProblem(broken)
    const { stdout, stderr, code } = await ran(plan, file('broken.json'))
    expect(code).toBe(2)
    expect(stdout).toBe('')
    for (const fault of parsed.ok ? [] : parsed.faults) expect(stderr).toContain(fault.code)
    expect(stderr).toContain('2027-02-31')
    expect(stderr).toContain('extra')
  })

  it('refuses options that it does not have, and both a time and a number of steps', async () => {
    expect((await ran(plan, file('problem.json'), '--fast')).code).toBe(2)
    expect((await ran(plan, file('problem.json'), '--steps', '1', '--seconds', '1')).code).toBe(2)
    expect((await ran(plan, file('problem.json'), '--steps', 'many')).stderr).toContain('--steps takes a whole number')
  })
})

describe('npm run promise', () => {
  beforeAll(async () => {
    await ran(plan, file('problem.json'), '--steps', '5', '--out', file('plan.json'))
  })

  it('answers for a new line in a plan, with the time that the placement took', async () => {
    writeFileSync(file('line.json'), JSON.stringify({ ...problem.orderLines[0], id: 'asked-for' }))
    const { stdout, code } = await ran(promise, file('problem.json'), file('plan.json'), file('line.json'))
    expect(code).toBe(0)
    const { answers, milliseconds } = JSON.parse(stdout)
    expect(answers).toMatchObject([{ orderLineId: 'asked-for', quantity: problem.orderLines[0]?.quantity }])
    expect(milliseconds).toBeGreaterThanOrEqual(0)
  })

  it('names the faults of a line, not of the problem', async () => {
    writeFileSync(file('line.json'), JSON.stringify({ ...problem.orderLines[0], id: 'asked-for', packId: 'nothing' }))
    const { stderr, code } = await ran(promise, file('problem.json'), file('plan.json'), file('line.json'))
    expect(code).toBe(2)
    expect(stderr).toContain('lines[0].packId')
    expect(readFileSync(file('plan.json'), 'utf8')).toContain('"brews"')
  })
})
