// Input as far as it can be read: a part that is of no right shape has a value that stands in for it, so that what is wrong
// with all others is found in the same go.
import { z } from 'zod'
import { InvalidInput, type Issue } from '../errors.ts'
import { shapeFaults, writePath } from '../planner/documents/index.ts'
import { unstorable, withoutNulls } from './parse-input.ts'

/** What is known of an input's shape. */
export interface ShapeFaults {
  /** What is wrong. Where it is anything, the value is good for finding what else is wrong, and for nothing more. */
  issues: readonly Issue[]
  /** Paths of parts whose value only stands in: nothing is said about it. */
  unread: readonly string[]
}

export interface Reading<Value> extends ShapeFaults {
  given: Value
}

/** Reads an input. A value that is null counts as not given, as in GraphQL. Throws `InvalidInput` where nothing can be read. */
export function readInput<Shape extends z.ZodType>(shape: Shape, input: unknown): Reading<z.output<Shape>> {
  return read(shape, withoutNulls(input))
}

/** The same, for the input of a change: null is kept, since there it takes an optional value away. */
export function readChange<Shape extends z.ZodType>(shape: Shape, input: unknown): Reading<z.output<Shape>> {
  return read(shape, input)
}

/** Repairs at most: what is wrong with a part may show only when others are right. */
const MOST_REPAIRS = 5

function read<Shape extends z.ZodType>(shape: Shape, input: unknown): Reading<z.output<Shape>> {
  const issues = unstorable(input, [])
  const unread = issues.map(({ path }) => path)
  let value = input
  for (let repairs = 0; repairs <= MOST_REPAIRS; repairs += 1) {
    const parsed = shape.safeParse(value)
    if (parsed.success) return { given: parsed.data, issues, unread }
    issues.push(...shapeFaults(parsed.error.issues, value).filter(({ path }) => !isWithin(unread, path)))
    if (repairs === 0) value = structuredClone(value)
    for (const each of parsed.error.issues) {
      const repaired = repair(shape, value, each)
      value = repaired.value
      if (repaired.unread !== undefined) unread.push(repaired.unread)
    }
  }
  const [first, ...others] = issues
  if (first) throw new InvalidInput([first, ...others])
  throw new Error('an input without faults could not be read')
}

/** Whether `path` is one of the paths or lies within one. */
export function isWithin(paths: readonly string[], path: string): boolean {
  return paths.some(
    (each) => each === '' || path === each || path.startsWith(`${each}.`) || path.startsWith(`${each}[`),
  )
}

interface Repaired {
  value: unknown
  /** The path of what stands in. Absent: nothing does, something too many was taken away. */
  unread?: string
}

/** The value without one fault of its shape. */
function repair(shape: z.ZodType, value: unknown, fault: z.core.$ZodIssue): Repaired {
  if (fault.code === 'unrecognized_keys') {
    const holder = valueAt(value, fault.path)
    if (isHolder(holder)) for (const key of fault.keys) Reflect.deleteProperty(holder, key)
    return { value }
  }
  const place = placeOf(shape, fault.path)
  const found = valueAt(value, place.steps)
  if (fault.code === 'too_big' && Array.isArray(found) && place.steps.length === fault.path.length) {
    found.length = Number(fault.maximum)
    return { value }
  }
  const last = place.steps.at(-1)
  const other = standIn(place.shape)
  if (last === undefined) return { value: other, unread: '' }
  const holder = valueAt(value, place.steps.slice(0, -1))
  if (isHolder(holder)) Reflect.set(holder, last, other)
  return { value, unread: writePath(place.steps) }
}

interface Place {
  shape: z.ZodType
  steps: PropertyKey[]
}

/** The part that a path leads to; of what has several shapes, the whole. */
function placeOf(shape: z.ZodType, path: readonly PropertyKey[]): Place {
  const place: Place = { shape, steps: [] }
  for (const step of path) {
    const whole = bare(place.shape)
    const part = whole instanceof z.ZodObject ? whole.shape[String(step)] : partOf(whole)
    if (!(part instanceof z.ZodType)) return place
    place.shape = part
    place.steps.push(step)
  }
  return place
}

function partOf(whole: z.ZodType): unknown {
  return whole instanceof z.ZodArray ? whole.element : undefined
}

/** The shape without what makes it optional or changes its outcome. */
function bare(shape: z.ZodType): z.ZodType {
  let inner: unknown = shape
  if (shape instanceof z.ZodOptional || shape instanceof z.ZodNullable || shape instanceof z.ZodDefault)
    inner = shape.unwrap()
  else if (shape instanceof z.ZodPipe) inner = shape.in instanceof z.ZodTransform ? shape.out : shape.in
  return inner instanceof z.ZodType && inner !== shape ? bare(inner) : shape
}

/** Values of which one has the right shape, whatever single value is asked for. */
const SINGLE = [1, 0, '?', '2000-01-01', '2000-01-01T00:00:00Z', '00:00', false]

/** Some thing of a shape, to be overwritten by what is known. */
export function standInOf(shape: z.ZodObject): object {
  const found = standIn(shape)
  if (!isHolder(found)) throw new Error('nothing stands in for the shape')
  return found
}

/** Some value of a shape; undefined where none is found. */
function standIn(shape: z.ZodType): unknown {
  const whole = bare(shape)
  return candidates(whole).find((value) => shape.safeParse(value).success)
}

function candidates(shape: z.ZodType): unknown[] {
  if (shape instanceof z.ZodEnum) return [...shape.options]
  if (shape instanceof z.ZodLiteral) return [...shape.values]
  if (shape instanceof z.ZodUnion)
    return shape.options.map((option) => (option instanceof z.ZodType ? standIn(option) : undefined))
  if (shape instanceof z.ZodArray) return [[], shape.element instanceof z.ZodType ? [standIn(shape.element)] : []]
  if (!(shape instanceof z.ZodObject)) return SINGLE
  const parts = Object.entries<z.ZodType>(shape.shape)
  const needed = Object.fromEntries(
    parts.filter(([, part]) => !part.safeParse(undefined).success).map(([key, part]) => [key, standIn(part)]),
  )
  // Of some inputs one field must be given, and any one will do.
  return [needed, ...parts.map(([key, part]) => ({ ...needed, [key]: standIn(bare(part)) }))]
}

function valueAt(value: unknown, steps: readonly PropertyKey[]): unknown {
  let at = value
  for (const step of steps) at = isHolder(at) ? Object.getOwnPropertyDescriptor(at, step)?.value : undefined
  return at
}

function isHolder(value: unknown): value is object {
  return typeof value === 'object' && value !== null
}
