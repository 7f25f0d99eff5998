// What zod finds wrong with a document's shape, put into the words and codes of our own catalogue.
import type { z } from 'zod'
import { type Fault, type FaultCode, fault, writePath } from './faults.ts'

type Issue = z.core.$ZodIssue
type Steps = readonly PropertyKey[]

/** The faults of zod's issues, in document order of discovery. `document` is what was parsed (to quote from it). */
export function shapeFaults(issues: readonly Issue[], document: unknown): Fault[] {
  return issues.flatMap((issue) => faultsOf(issue, issue.path, document))
}

function faultsOf(issue: Issue, steps: Steps, document: unknown): Fault[] {
  const found = valueAt(document, steps)
  const one = (code: FaultCode, message: string) => [fault(writePath(steps), code, message)]
  switch (issue.code) {
    case 'invalid_type':
      if (found === undefined) return one('MISSING_VALUE', `is missing; expected ${withArticle(issue.expected)}`)
      if (issue.expected === 'int' && typeof found === 'number' && Number.isFinite(found))
        return one('NOT_WHOLE', `${found} is not a whole number`)
      return one('WRONG_TYPE', `is ${typeName(found)}; expected ${withArticle(issue.expected)}`)
    case 'unrecognized_keys':
      return issue.keys.map((key) => fault(writePath([...steps, key]), 'UNKNOWN_KEY', `the key "${key}" is not known`))
    case 'too_small':
      return limit(issue.origin, issue.inclusive === false ? 'more than' : 'at least', issue.minimum, found, one)
    case 'too_big':
      return limit(issue.origin, issue.inclusive === false ? 'less than' : 'at most', issue.maximum, found, one)
    case 'invalid_format':
      if (issue.format === 'date') return one('NO_SUCH_DATE', `${quote(found ?? steps.at(-1))} is not a date`)
      if (issue.format === 'datetime') return one('NO_SUCH_INSTANT', `${quote(found)} is not an instant`)
      return one('NO_SUCH_TIME', `${quote(found)} is not a time of day`)
    case 'invalid_value':
      return one(
        found === undefined ? 'MISSING_VALUE' : 'UNKNOWN_CHOICE',
        `${found === undefined ? 'is missing' : `is ${quote(found)}`}; expected ${issue.values.map(quote).join(' or ')}`,
      )
    case 'invalid_key':
      // The key is at fault, not the value under it: let the inner issues quote the key.
      return issue.issues.flatMap((inner) => keyFaults(inner, steps))
    case 'invalid_union':
      return unionFaults(issue.errors, steps, document)
    default:
      return one('WRONG_TYPE', issue.message)
  }
}

function keyFaults(inner: Issue, steps: Steps): Fault[] {
  const key = String(steps.at(-1))
  if (inner.code === 'invalid_format' && inner.format === 'date')
    return [fault(writePath(steps), 'NO_SUCH_DATE', `the key ${quote(key)} is not a date`)]
  return [fault(writePath(steps), 'BAD_LENGTH', `the key ${quote(key)} is too short or too long for an id`)]
}

/** Of a union the branch that fits the value's type speaks; where none does, the value is of no expected type. */
function unionFaults(branches: readonly Issue[][], steps: Steps, document: unknown): Fault[] {
  const fitting = branches.find((branch) => !branch.some((issue) => issue.path.length === 0 && isTypeIssue(issue)))
  if (fitting) return fitting.flatMap((issue) => faultsOf(issue, [...steps, ...issue.path], document))
  const found = valueAt(document, steps)
  if (found === undefined) return [fault(writePath(steps), 'MISSING_VALUE', 'is missing')]
  const values = branches.flatMap((branch) => branch.flatMap((b) => (b.code === 'invalid_value' ? b.values : [])))
  if (values.length > 0) {
    const message = `is ${quote(found)}; expected ${values.map(quote).join(' or ')}`
    return [fault(writePath(steps), 'UNKNOWN_CHOICE', message)]
  }
  const types = branches.flatMap((b) => b.flatMap((i) => (i.code === 'invalid_type' ? [withArticle(i.expected)] : [])))
  return [fault(writePath(steps), 'WRONG_TYPE', `is ${typeName(found)}; expected ${types.join(' or ')}`)]
}

function isTypeIssue(issue: Issue): boolean {
  return issue.code === 'invalid_type' || issue.code === 'invalid_value'
}

function limit(
  origin: string,
  relation: string,
  bound: number | bigint,
  found: unknown,
  one: (code: FaultCode, message: string) => Fault[],
): Fault[] {
  if (origin === 'string' || origin === 'array') {
    const length = typeof found === 'string' || Array.isArray(found) ? found.length : 0
    const unit = origin === 'string' ? 'characters' : 'entries'
    return one('BAD_LENGTH', `has ${length} ${unit}; expected ${relation} ${bound}`)
  }
  return one('OUT_OF_RANGE', `is ${quote(found)}; expected ${relation} ${bound}`)
}

function valueAt(document: unknown, steps: Steps): unknown {
  let value = document
  for (const step of steps) {
    if (typeof value !== 'object' || value === null) return undefined
    value = Object.getOwnPropertyDescriptor(value, step)?.value
  }
  return value
}

function typeName(value: unknown): string {
  if (value === null) return 'null'
  if (Array.isArray(value)) return 'a list'
  if (typeof value === 'number' && !Number.isFinite(value)) return String(value)
  return withArticle(typeof value)
}

const WORDS: Record<string, string> = {
  array: 'a list',
  int: 'a whole number',
  object: 'an object',
  record: 'an object of key and value',
  undefined: 'undefined',
}

function withArticle(type: string): string {
  return WORDS[type] ?? `a ${type}`
}

/** The value as JSON, cut short: a fault is read by people and logged. */
function quote(value: unknown): string {
  const text = JSON.stringify(value) ?? String(value)
  return text.length > 80 ? `${text.slice(0, 77)}...` : text
}
