// A command of the planner with its words, in this process: what it prints where, and its exit code.
import { type Command, runCommand } from '../../src/command-line/command.ts'

export interface Ran {
  code: number
  stdout: string
  stderr: string
}

/** Runs a command to its end. Starting a program for each takes seconds; `npm run plan` is started as one by a test of its own. */
export async function ran(command: Command, ...words: string[]): Promise<Ran> {
  const printed = { stdout: '', stderr: '' }
  const code = await runCommand(command, words, {
    out: (text) => {
      printed.stdout += text
    },
    error: (text) => {
      printed.stderr += text
    },
    watched: false,
  })
  return { code, ...printed }
}
