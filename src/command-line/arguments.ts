// Command-line arguments of the planner's commands: files in order, options by name.
import { parseArgs } from 'node:util'
import { refuse } from './documents.ts'

/** What the command line says, or a refusal with the usage and exit code 2. Every option takes a value. */
export function readArguments<Name extends string>(
  usage: string,
  files: number,
  names: readonly Name[],
): { files: string[]; option: (name: Name) => string | undefined } {
  const options: Record<string, { type: 'string' }> = {}
  for (const name of names) options[name] = { type: 'string' }
  const parsed = parse(options)
  if (!parsed || parsed.positionals.length !== files) return refuse(usage)
  return { files: parsed.positionals, option: (name) => parsed.values[name] }
}

function parse(options: Record<string, { type: 'string' }>) {
  try {
    return parseArgs({ allowPositionals: true, options })
  } catch {
    return undefined
  }
}

/** A number given as an option, or a refusal. */
export function numberOption(
  name: string,
  text: string | undefined,
  least: number,
  whole: boolean,
): number | undefined {
  if (text === undefined) return undefined
  const value = Number(text)
  if (!Number.isFinite(value) || value < least || (whole && !Number.isInteger(value))) {
    return refuse(`--${name} takes a ${whole ? 'whole ' : ''}number of at least ${least}, not "${text}".`)
  }
  return value
}
