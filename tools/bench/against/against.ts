// npm run bench -- --against COMMIT [--quick]: ten rounds in turn of this checkout and of another commit, each round a process
// of its own that does fixed work, and the ratio of the median processor times.
import { execFileSync } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import { percentile } from '../statistics.ts'
import { table } from '../table.ts'
import { workOf } from './work.ts'

const HERE = fileURLToPath(new URL('../../..', import.meta.url))
const measured = z.object({ steps: z.number(), first: z.number(), placements: z.number() })
type Measured = z.infer<typeof measured>
const KINDS: readonly [keyof Measured, string][] = [
  ['steps', 'steps of the search'],
  ['first', 'first plan, explained and checked'],
  ['placements', 'trial placements'],
]
/** What a ratio may be at most (the measure of a change that keeps behaviour). */
export const MOST = 1.05

/** Compares this checkout with `commit` and answers the report; throws where the commit cannot be checked out or run. */
export function compareWith(commit: string, quick: boolean, onRound: (round: number, of: number) => void): string {
  const folder = mkdtempSync(join(tmpdir(), 'against-'))
  const other = join(folder, 'checkout')
  try {
    execFileSync('git', ['worktree', 'add', '--detach', '--quiet', other, commit], { cwd: HERE, stdio: 'pipe' })
    installLikeHere(other)
    const file = join(folder, 'work.json')
    writeFileSync(file, JSON.stringify(workOf(quick)))
    const rounds = quick ? 2 : 10
    const times: Record<'here' | 'there', Measured[]> = { here: [], there: [] }
    for (let round = 1; round <= rounds; round++) {
      onRound(round, rounds)
      // Which checkout goes first changes from round to round, so that a machine that slows down favours neither.
      const order = round % 2 === 0 ? (['there', 'here'] as const) : (['here', 'there'] as const)
      for (const which of order) times[which].push(measure(which === 'here' ? HERE : other, file))
    }
    return reportOf(times, commit, rounds)
  } finally {
    execFileSync('git', ['worktree', 'remove', '--force', other], { cwd: HERE, stdio: 'pipe' })
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Shares the packages where both checkouts lock the same ones, else installs those of the other. */
function installLikeHere(other: string): void {
  const lock = (root: string) => readFileSync(join(root, 'package-lock.json'), 'utf8')
  if (lock(other) === lock(HERE) && existsSync(join(HERE, 'node_modules')))
    symlinkSync(join(HERE, 'node_modules'), join(other, 'node_modules'))
  else execFileSync('npm', ['ci', '--ignore-scripts', '--silent'], { cwd: other, stdio: 'pipe' })
}

function measure(root: string, file: string): Measured {
  const script = join(HERE, 'tools/bench/against/measure.ts')
  const out = execFileSync(process.execPath, ['--import', 'tsx', script, root, file], { cwd: HERE, encoding: 'utf8' })
  return measured.parse(JSON.parse(out))
}

/** The table of medians and ratios, for reading. */
export function reportOf(times: Record<'here' | 'there', Measured[]>, commit: string, rounds: number): string {
  const median = (list: Measured[], kind: keyof Measured) =>
    percentile(
      list.map((each) => each[kind]),
      0.5,
    )
  const rows = KINDS.map(([kind, name]) => {
    const [here, there] = [median(times.here, kind), median(times.there, kind)]
    const ratio = here / there
    return [name, here.toFixed(3), there.toFixed(3), ratio.toFixed(3), ratio <= MOST ? 'met' : 'MISSED']
  })
  const head = ['what', 'here, s', `${commit}, s`, 'ratio', `at most ${MOST}`]
  return `${table(head, rows)}\nMedian processor seconds of ${rounds} rounds in turn.\n`
}
