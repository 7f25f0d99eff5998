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

/** The root of this checkout. */
export const HERE = fileURLToPath(new URL('../../..', import.meta.url))
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
  return withCheckout(commit, (other) => {
    const work = workOf(quick)
    const rounds = quick ? 2 : 10
    const times: Record<'here' | 'there', Measured[]> = { here: [], there: [] }
    for (let round = 1; round <= rounds; round++) {
      onRound(round, rounds)
      // Which checkout goes first changes from round to round, so that a machine that slows down favours neither.
      const order = round % 2 === 0 ? (['there', 'here'] as const) : (['here', 'there'] as const)
      for (const which of order) times[which].push(measure(which === 'here' ? HERE : other, work))
    }
    return reportOf(times, commit, rounds)
  })
}

/** Checks a commit out beside this checkout for as long as `use` takes, and hands it the folder. */
export function withCheckout<T>(commit: string, use: (other: string) => T): T {
  return withFolder((folder) => {
    const other = join(folder, 'checkout')
    try {
      execFileSync('git', ['worktree', 'add', '--detach', '--quiet', other, commit], { cwd: HERE, stdio: 'pipe' })
      installLikeHere(other)
      return use(other)
    } finally {
      execFileSync('git', ['worktree', 'remove', '--force', other], { cwd: HERE, stdio: 'pipe' })
    }
  })
}

function withFolder<T>(use: (folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'against-'))
  try {
    return use(folder)
  } finally {
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

function measure(root: string, work: unknown): Measured {
  return measured.parse(runScript('tools/bench/against/measure.ts', root, work))
}

/** Runs a script of this checkout on the checkout at `root` and a file with work, in a process of its own; answers the JSON that it prints. */
export function runScript(script: string, root: string, work: unknown): unknown {
  return withFolder((folder) => {
    const file = join(folder, 'work.json')
    writeFileSync(file, JSON.stringify(work))
    const out = execFileSync(process.execPath, ['--import', 'tsx', join(HERE, script), root, file], {
      cwd: HERE,
      encoding: 'utf8',
      maxBuffer: 2 ** 28,
    })
    return JSON.parse(out)
  })
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
