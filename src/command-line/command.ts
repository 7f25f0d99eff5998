// How a command of the planner begins and ends: it gets its words and where to print, and answers its exit code; a refusal
// ends it with code 2. It runs by itself where its file is the program, and inside another program where it is called.
import { fileURLToPath } from 'node:url'

/** Exit code for unusable input: bad arguments, a file that cannot be read, a document with faults. */
export const UNUSABLE = 2

/** Where a command prints: results, and what people read beside them. */
export interface Prints {
  out(text: string): void
  error(text: string): void
  /** Whether a person watches what people read, so that progress may be shown. */
  watched: boolean
  /** When the program was started, in milliseconds, where the command is one; else it begins when it is called. */
  since?: number
}

/** A command with its words, without program and file; answers its exit code. */
export type Command = (words: readonly string[], prints: Prints) => Promise<number>

/** The command cannot do anything with what it was given; the message says what and why. */
export class Refusal extends Error {}

/** Ends the command with a message on the error output and exit code 2. */
export function refuse(message: string): never {
  throw new Refusal(message)
}

/** Runs a command to its exit code; a refusal is printed. */
export async function runCommand(command: Command, words: readonly string[], prints: Prints): Promise<number> {
  try {
    return await command(words, prints)
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    prints.error(`${error.message}\n`)
    return UNUSABLE
  }
}

/** Runs the command of a file where this is the program that was started; `file` is its `import.meta.url`. */
export async function runAsProgram(file: string, command: Command): Promise<void> {
  if (process.argv[1] !== fileURLToPath(file)) return
  process.exitCode = await runCommand(command, process.argv.slice(2), {
    out: (text) => process.stdout.write(text),
    error: (text) => process.stderr.write(text),
    watched: process.stderr.isTTY,
    since: performance.timeOrigin,
  })
}
