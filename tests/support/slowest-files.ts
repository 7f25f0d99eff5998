// Prints which files took longest at the end of a run, so that a slow one is seen when it comes and not when all are slow.
import type { Reporter, TestModule } from 'vitest/node'

const SHOWN = 10

/** A reporter for vitest: the ten files that took longest, with their seconds. It says nothing of a run of few files. */
export default class SlowestFiles implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    if (modules.length <= SHOWN) return
    console.log('\nThe ten slowest files:')
    for (const line of slowestFiles(modules.map(timeOf))) console.log(line)
  }
}

/** A file of tests and the seconds that its loading, hooks and tests took. */
export interface FileTime {
  file: string
  seconds: number
}

/** A line for each of the slowest files, slowest first. */
export function slowestFiles(times: readonly FileTime[], shown = SHOWN): string[] {
  const slowest = times.toSorted((a, b) => b.seconds - a.seconds).slice(0, shown)
  return slowest.map(({ file, seconds }) => `${seconds.toFixed(1).padStart(8)} s  ${file}`)
}

function timeOf(module: TestModule): FileTime {
  const { collectDuration, setupDuration, duration } = module.diagnostic()
  return { file: module.relativeModuleId, seconds: (collectDuration + setupDuration + duration) / 1000 }
}
