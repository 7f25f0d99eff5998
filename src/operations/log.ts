// The log of a process: a line for each thing that happened, as JSON for machines, or short for a person at a terminal.
import { currentRequest } from './request-scope.ts'

export const LOG_LEVELS = ['debug', 'info', 'warn', 'error', 'off'] as const

/** From which weight on things are logged. */
export type LogLevel = (typeof LOG_LEVELS)[number]

/** What a line says beside its message. An `error` is written with its cause and where it was thrown. */
export type LogFields = Record<string, unknown>

type Weight = Exclude<LogLevel, 'off'>

/** Writes a line of a weight; a line that is written within a request carries the id of the request. */
export type Log = Record<Weight, (message: string, fields?: LogFields) => void>

export interface LogOptions {
  level: LogLevel
  /** Whether a person reads it as it comes. */
  pretty: boolean
  /** Takes each line, which ends with a line break. */
  write: (line: string) => void
  now: () => Date
}

/** A log that writes nothing. */
export const NO_LOG: Log = { debug: ignore, info: ignore, warn: ignore, error: ignore }

/** A log by its options. */
export function makeLog({ level, pretty, write, now }: LogOptions): Log {
  const writer = (weight: Weight) => {
    if (LOG_LEVELS.indexOf(weight) < LOG_LEVELS.indexOf(level)) return ignore
    return (message: string, fields: LogFields = {}) => {
      const requestId = currentRequest()?.requestId
      const line = { time: now().toISOString(), level: weight, message, ...(requestId ? { requestId } : {}), ...fields }
      write(`${pretty ? forPerson(line) : JSON.stringify(line, plainly)}\n`)
    }
  }
  return { debug: writer('debug'), info: writer('info'), warn: writer('warn'), error: writer('error') }
}

function ignore(): void {}

/** What JSON has no form for, as text. */
function plainly(_name: string, value: unknown): unknown {
  if (typeof value === 'bigint') return String(value)
  return value instanceof Error ? errorAsData(value) : value
}

/** Causes that are followed: one error may be the cause of itself. */
const DEEPEST = 5

function errorAsData(error: Error, depth = 0): object {
  const { name, message, stack, cause } = error
  const shown = cause instanceof Error && depth < DEEPEST ? errorAsData(cause, depth + 1) : cause && String(cause)
  return { name, message, stack, ...(shown ? { cause: shown } : {}) }
}

/** `08:15:04 warn message name=value …`, errors below it. */
function forPerson({ time, level, message, ...fields }: LogFields & { time: string }): string {
  const errors = Object.values(fields).filter((value) => value instanceof Error)
  const named = Object.entries(fields).flatMap(([name, value]) =>
    value === undefined || value instanceof Error ? [] : [`${name}=${shortly(value)}`],
  )
  const words = [time.slice(11, 19), ...(level === 'info' ? [] : [level]), message, ...named].join(' ')
  return [words, ...errors.map(({ stack, message }) => stack ?? message)].join('\n')
}

function shortly(value: unknown): string {
  return typeof value === 'string' && !/\s/.test(value) ? value : JSON.stringify(value, plainly)
}
