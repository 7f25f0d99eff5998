// A command of the planner as a user runs it.
import { execFile } from 'node:child_process'

export interface Ran {
  code: number
  stdout: string
  stderr: string
}

/** `npm run check` with two files, by the paths of the documents. */
export function runCheck(...paths: string[]): Promise<Ran> {
  return new Promise((resolve) => {
    const child = execFile(
      process.execPath,
      ['--import', 'tsx', 'src/command-line/check.ts', ...paths],
      (_error, stdout, stderr) => resolve({ code: child.exitCode ?? -1, stdout, stderr }),
    )
  })
}
