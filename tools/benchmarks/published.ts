// Published instances of two families that the planner's problem contains, read and mapped to problems. The files are not
// part of the project: their folder is named by an argument or by FILLWRIGHT_BENCHMARKS, and what is absent is said.
//
// Weighted tardiness on one machine: 125 instances of 40 jobs, OR-Library (J. E. Beasley), MIT licence; Crauwels, Potts &
// Van Wassenhove 1998, INFORMS Journal on Computing 10. Capacitated lot sizing with set-up times: F1 to F10 of Trigeiro,
// Thomas & McClain 1989, Management Science 35(3); optima recomputed with a MILP solver.
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Problem } from '../../src/planner/documents/index.ts'
import { lotSizing } from './lot-sizing.ts'
import { weightedTardiness } from './weighted-tardiness.ts'

export interface PublishedInstance {
  name: string
  problem: Problem
  /** The published value: the optimum, or the best known. */
  value: number
}

export interface PublishedInstances {
  weightedTardiness: PublishedInstance[]
  lotSizing: PublishedInstance[]
}

/** The folder of the published instances: the one given, else that of the environment; undefined, with a message, if absent. */
export function publishedFolder(given?: string): string | undefined {
  const folder = given ?? process.env.FILLWRIGHT_BENCHMARKS
  if (folder === undefined) {
    process.stderr.write('Published instances skipped: name their folder as an argument or in FILLWRIGHT_BENCHMARKS.\n')
    return undefined
  }
  if (existsSync(join(folder, 'weighted-tardiness')) && existsSync(join(folder, 'lot-sizing'))) return folder
  process.stderr.write(`Published instances skipped: ${folder} has no folders weighted-tardiness and lot-sizing.\n`)
  return undefined
}

/** Reads all instances of a folder. */
export function readPublished(folder: string): PublishedInstances {
  const text = (...path: string[]) => readFileSync(join(folder, ...path), 'utf8')
  const jobs = text('weighted-tardiness', 'wt40.txt')
  return {
    weightedTardiness: tardinessValues(text('weighted-tardiness', 'wtopt40.txt')).map((value, index) => ({
      name: `wt40-${index + 1}`,
      problem: weightedTardiness(jobs, index),
      value,
    })),
    lotSizing: lotSizingValues(text('README.md')).map(({ name, value }) => ({
      name,
      problem: lotSizing(text('lot-sizing', `${name}.DAT`)),
      value,
    })),
  }
}

/** The published values of the tardiness instances, in the order of the instances. */
export function tardinessValues(text: string): number[] {
  return (text.match(/\d+/g) ?? []).map(Number)
}

/** The published optima of the lot sizing instances, as a text names them: `F1 40854, F2 39734 …`. */
export function lotSizingValues(text: string): { name: string; value: number }[] {
  return [...text.matchAll(/\b(F\d+) (\d{4,})\b/g)].map(([, name = '', value]) => ({ name, value: Number(value) }))
}
