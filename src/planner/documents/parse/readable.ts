// The parts of a problem document that have the right shape, so that a fault in one place does not hide the faults
// in all others: a broken thing is left out, but its id still counts as known.
import type { z } from 'zod'
import { type Problem, problemShape } from '../problem.ts'

/** A thing of a list with its path, such as `beers[2]`. */
export interface DocumentEntry<Value> {
  at: string
  value: Value
}

/** A list's readable things, and its broken ones as far as they carry an id. */
export interface ReadableList<Value> {
  entries: DocumentEntry<Value>[]
  broken: DocumentEntry<{ id: string }>[]
  /** Whether the document has this list at all; without it, references into it cannot be judged. */
  present: boolean
}

type ListName = {
  [Name in keyof Problem]-?: Problem[Name] extends readonly unknown[] ? Name : never
}[keyof Problem]

/** What can be read of a problem: each list, and the few values beside them where they are well formed. */
export type Readable = { [Name in ListName]: ReadableList<Problem[Name][number]> } & {
  today: string | undefined
  horizonDays: number | undefined
  baseline: Problem['baseline']
  /** The packs inside broken beers. */
  brokenPacks: DocumentEntry<{ id: string }>[]
}

/** All of a well-shaped problem. */
export function readableProblem(problem: Problem): Readable {
  const whole = <Value>(name: string, list: readonly Value[]): ReadableList<Value> => ({
    entries: list.map((value, index) => ({ at: `${name}[${index}]`, value })),
    broken: [],
    present: true,
  })
  return {
    today: problem.today,
    horizonDays: problem.horizonDays,
    baseline: problem.baseline,
    brokenPacks: [],
    sites: whole('sites', problem.sites),
    vessels: whole('vessels', problem.vessels),
    fillers: whole('fillers', problem.fillers),
    stores: whole('stores', problem.stores),
    fleets: whole('fleets', problem.fleets),
    beers: whole('beers', problem.beers),
    containerTypes: whole('containerTypes', problem.containerTypes),
    routes: whole('routes', problem.routes),
    accounts: whole('accounts', problem.accounts),
    batches: whole('batches', problem.batches),
    stock: whole('stock', problem.stock),
    orderLines: whole('orderLines', problem.orderLines),
  }
}

/** The well-shaped parts of a document that as a whole is not. */
export function readableParts(document: unknown): Readable {
  const shape = problemShape.shape
  const part = <Value>(name: string, element: z.ZodType<Value>): ReadableList<Value> => {
    const raw = property(document, name)
    const list: ReadableList<Value> = { entries: [], broken: [], present: Array.isArray(raw) }
    if (!Array.isArray(raw)) return list
    raw.forEach((item: unknown, index) => {
      const value = read(element, item)
      if (value !== undefined) list.entries.push({ at: `${name}[${index}]`, value })
      else list.broken.push(...withId(item, `${name}[${index}]`))
    })
    return list
  }
  const rawBeers = property(document, 'beers')
  const brokenPacks = !Array.isArray(rawBeers)
    ? []
    : rawBeers.flatMap((beer: unknown, index) => {
        const packs = property(beer, 'packs')
        if (!Array.isArray(packs) || read(shape.beers.element, beer)) return []
        return packs.flatMap((pack: unknown, at) => withId(pack, `beers[${index}].packs[${at}]`))
      })
  return {
    today: shape.today.safeParse(property(document, 'today')).data,
    horizonDays: shape.horizonDays.safeParse(property(document, 'horizonDays')).data,
    baseline: shape.baseline.safeParse(property(document, 'baseline')).data,
    brokenPacks,
    sites: part('sites', shape.sites.element),
    vessels: part('vessels', shape.vessels.element),
    fillers: part('fillers', shape.fillers.element),
    stores: part('stores', shape.stores.element),
    fleets: part('fleets', shape.fleets.element),
    beers: part('beers', shape.beers.element),
    containerTypes: part('containerTypes', shape.containerTypes.element),
    routes: part('routes', shape.routes.element),
    accounts: part('accounts', shape.accounts.element),
    batches: part('batches', shape.batches.element),
    stock: part('stock', shape.stock.element),
    orderLines: part('orderLines', shape.orderLines.element),
  }
}

/** The thing as its shape has it, where need be without its unknown keys and without ill-formed optional values. */
function read<Value>(shape: z.ZodType<Value>, item: unknown): Value | undefined {
  const first = shape.safeParse(item)
  if (first.success) return first.data
  const rest = structuredClone(item)
  for (const issue of first.error.issues) {
    const keys = issue.code === 'unrecognized_keys' ? issue.keys : issue.path.slice(-1)
    const path = issue.code === 'unrecognized_keys' ? issue.path : issue.path.slice(0, -1)
    const holder = path.reduce<unknown>((value, step) => property(value, step), rest)
    // Entries of a list stay where they are: taking one out would shift the paths of those after it.
    if (typeof holder === 'object' && holder !== null && !Array.isArray(holder))
      for (const key of keys) Reflect.deleteProperty(holder, key)
  }
  return shape.safeParse(rest).data
}

function property(value: unknown, key: PropertyKey): unknown {
  if (typeof value !== 'object' || value === null) return undefined
  return Object.getOwnPropertyDescriptor(value, key)?.value
}

function withId(item: unknown, at: string): DocumentEntry<{ id: string }>[] {
  const id = property(item, 'id')
  return typeof id === 'string' ? [{ at, value: { id } }] : []
}
