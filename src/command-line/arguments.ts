// Command-line arguments of the planner's commands: files in order, options by name.
import { parseArgs } from 'node:util'
import { refuse } from './command.ts'

type Options = Record<string, { type: 'string' | 'boolean' }>

/** What the command line says, or a refusal with the usage and exit code 2. Options of `names` take a value, flags none. */
export function readArguments<Name extends string, Flag extends string = never>(
  words: readonly string[],
  usage: string,
  files: number,
  names: readonly Name[],
  flags: readonly Flag[] = [],
): { files: string[]; option: (name: Name) => string | undefined; flag: (name: Flag) => boolean } {
  const options: Options = {}
  for (const name of names) options[name] = { type: 'string' }
  for (const name of flags) options[name] = { type: 'boolean' }
  const parsed = parse(words, options)
  if (!parsed || parsed.positionals.length !== files) return refuse(usage)
  const { positionals, values } = parsed
  return {
    files: positionals,
    option: (name) => {
      const value = values[name]
      return typeof value === 'string' ? value : undefined
    },
    flag: (name) => values[name] === true,
  }
}

function parse(words: readonly string[], options: Options) {
  try {
    return parseArgs({ args: [...words], allowPositionals: true, options })
  } catch {
    return undefined
  }
}

/** A number given as an option, or a refusal that says what it may be. */
export function numberOption(
  name: string,
  text: string | undefined,
  { least, most = Number.MAX_SAFE_INTEGER, whole = false }: { least: number; most?: number; whole?: boolean },
): number | undefined {
  if (text === undefined) return undefined
  const value = Number(text)
  if (text.trim() !== '' && value >= least && value <= most && (!whole || Number.isInteger(value))) return value
  const limits = most < Number.MAX_SAFE_INTEGER ? `from ${least} to ${most}` : `of at least ${least}`
  return refuse(`--${name} takes a ${whole ? 'whole ' : ''}number ${limits}, not "${text}".`)
}
