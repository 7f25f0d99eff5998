// Lines of an input beside those of an order that is there: which are just so, which are to change, which are new, and which are gone.
import { lineWithDefaults, type OrderLine } from '../../planner/documents/index.ts'
import type { ReadContext } from '../commands/command.ts'
import { findThing, type ThingRef } from '../thing-ref.ts'
import type { DescribedOrder } from './describe.ts'
import type { NewLine } from './shapes.ts'

type Context = Pick<ReadContext, 'client' | 'snapshot'>

/** A line of an input; what is left out has its usual value. */
export type LineOfInput = Omit<NewLine, 'priority' | 'splittable'> & Partial<Pick<NewLine, 'priority' | 'splittable'>>

type OwnLine = DescribedOrder['lines'][number]

/** A line of the input, by its place, that stands for a line of the order. */
export interface Pair {
  index: number
  own: OwnLine
  said: Said
  /** What differs between the two; nothing where they are the same. */
  differs: readonly LineField[]
}

export interface Matched {
  pairs: Pair[]
  /** Places of lines of the input that the order does not have. */
  added: number[]
  /** Lines of the order that the input does not have; those that were cancelled are no lines of it. */
  gone: OwnLine[]
}

/** What a line says beside its reference. */
const FIELDS = ['packId', 'quantity', 'serveOn', 'latestServeOn', 'priority', 'splittable'] as const
export type LineField = (typeof FIELDS)[number]

/** A line as an input says it, with what is left out written out; the pack is '' where there is none of that name. */
type Said = Pick<OwnLine, Exclude<LineField, 'priority'> | 'externalRef'> & Pick<OrderLine, 'priority'>

/**
 * Matches lines: by the caller's references; those without one with a line that is just so, else with an open one of the same pack and
 * day, else of the same pack. `serveOn` is the day of lines that have none of their own.
 */
export async function matchLines(
  context: Context,
  order: DescribedOrder,
  lines: readonly LineOfInput[],
  serveOn: string | undefined,
): Promise<Matched> {
  const packOf = packs(context)
  const said: Said[] = []
  for (const line of lines) said.push(whole(line, await packOf(line.pack), serveOn))
  const left = new Set(order.lines.filter(({ status }) => status !== 'CANCELLED'))
  const pairs = new Map<number, Pair>()
  const pair = (isMatch: (line: Said, own: OwnLine) => boolean) => {
    for (const [index, line] of said.entries()) {
      const own = pairs.has(index) ? undefined : [...left].find((each) => isMatch(line, each))
      if (!own) continue
      left.delete(own)
      pairs.set(index, { index, own, said: line, differs: fieldsThatDiffer(line, own) })
    }
  }
  const haveNoReference = (line: Said, own: OwnLine) => line.externalRef === null && own.externalRef === null
  const mayStandFor = (line: Said, own: OwnLine) =>
    haveNoReference(line, own) && own.status === 'OPEN' && line.packId === own.packId
  pair((line, own) => line.externalRef !== null && line.externalRef === own.externalRef)
  pair((line, own) => haveNoReference(line, own) && fieldsThatDiffer(line, own).length === 0)
  pair((line, own) => mayStandFor(line, own) && line.serveOn === own.serveOn)
  pair(mayStandFor)
  return {
    pairs: [...pairs.values()].sort((a, b) => a.index - b.index),
    added: said.flatMap((_, index) => (pairs.has(index) ? [] : [index])),
    gone: [...left],
  }
}

/** The fields in which a line of an input and a line of the records differ. */
export function fieldsThatDiffer(line: Pick<Said, LineField>, own: Pick<OwnLine, LineField>): LineField[] {
  return FIELDS.filter((field) => line[field] !== own[field])
}

/** What an input calls the field of a line. */
export function nameOf(field: LineField): string {
  return field === 'packId' ? 'pack' : field
}

/** A line of an input with what is left out written out. `serveOn` is its day where it has none of its own. */
export async function saidLine(context: Context, line: LineOfInput, serveOn: string | undefined): Promise<Said> {
  return whole(line, await packs(context)(line.pack), serveOn)
}

/** Looks up packs, each once. */
function packs({ client, snapshot: { distributorId } }: Context) {
  const found = new Map<string, string>()
  return async (ref: ThingRef): Promise<string> => {
    const key = JSON.stringify(ref)
    const id = found.get(key) ?? (await findThing(client, distributorId, 'Pack', ref))?.id ?? ''
    found.set(key, id)
    return id
  }
}

function whole({ pack: _, externalRef, ...line }: LineOfInput, packId: string, ofOrder: string | undefined): Said {
  const serveOn = line.serveOn ?? ofOrder ?? ''
  const { quantity, latestServeOn, priority, splittable } = lineWithDefaults({
    ...line,
    ...{ id: '', orderId: '', accountId: '', packId, serveOn },
  })
  const [reference, latest] = [externalRef ?? null, latestServeOn ?? null]
  return { externalRef: reference, packId, quantity, serveOn, latestServeOn: latest, priority, splittable }
}
