// Many things in one call: each whole or not at all, in their order, and what became of each.
import { z } from 'zod'
import type { Committed } from '../../database/distributor-lock.ts'
import { InvalidInput, issue, Refusal } from '../../errors.ts'
import type { Actor } from '../actor.ts'
import { parseInput } from '../parse-input.ts'
import type { Did } from '../written.ts'

/** Most things of one call. */
export const MOST_IMPORTED = 1000

/** A thing that was written, or was so already, with the revision since. */
export interface Entered {
  id: string
  did: Did
  revision: number
}

/** What became of one thing. */
export interface ImportResult {
  /** The caller's reference; undefined where there is none that can be read. */
  externalRef: string | undefined
  /** The model's name, such as `Order`. */
  kind: string
  became: Entered | Refusal
}

/** What became of all, in their order. */
export interface Imported {
  /** The revision of the records since. */
  revision: number
  results: ImportResult[]
}

/** Writes things of one kind in their order. */
export type EnterAll = (things: readonly unknown[]) => Promise<(Entered | Refusal)[]>

/** The things that an input lists under `list`. Throws `InvalidInput`. */
export function listedIn(input: unknown, list: string): unknown[] {
  const shape = z.strictObject({ [list]: z.array(z.unknown()).min(1).max(MOST_IMPORTED) })
  return parseInput(z.object({ [list]: z.unknown() }).pipe(shape), input)[list] ?? []
}

/**
 * Writes things that are described as by their creation. Unless one says otherwise it changes the thing that has its reference. One
 * whose reference an earlier one has is refused. Where one could not be written for now, the request can be sent again.
 */
export async function importAll(
  { client, distributorId, once: request }: Actor,
  kind: string,
  things: readonly unknown[],
  enterAll: EnterAll,
): Promise<Imported> {
  const references = things.map(referenceOf)
  const isRepeated = (index: number) => references[index] !== undefined && references.indexOf(references[index]) < index
  const once = things.filter((_, index) => !isRepeated(index)).map(asUpsert)
  const became = (await enterAll(once)).values()
  const results = references.map((externalRef, index): ImportResult => {
    const next = isRepeated(index) ? repeated(externalRef ?? '') : became.next().value
    if (!next) throw new Error('of each thing it is known what became of it')
    return { externalRef, kind, became: next }
  })
  request?.hear(results.map(({ became }) => became))
  const { revision } = await client.distributor.findUniqueOrThrow({
    where: { id: distributorId },
    select: { revision: true },
  })
  return { revision, results }
}

/** What a command answered, or its refusal. Throws a fault. */
export function enteredOf(settled: PromiseSettledResult<Committed<{ id: string; did: Did }>>): Entered | Refusal {
  if (settled.status === 'fulfilled') {
    const { revision, result } = settled.value
    return { id: result.id, did: result.did, revision }
  }
  if (settled.reason instanceof Refusal) return settled.reason
  throw settled.reason
}

function referenceOf(thing: unknown): string | undefined {
  const read = z.object({ externalRef: z.string().trim().min(1).max(200) }).safeParse(thing)
  return read.success ? read.data.externalRef : undefined
}

function asUpsert(thing: unknown): unknown {
  if (typeof thing !== 'object' || thing === null) return thing
  return { ...thing, upsert: 'upsert' in thing && thing.upsert !== null ? thing.upsert : true }
}

function repeated(externalRef: string): Refusal {
  const words = `an earlier one of the same call has the reference "${externalRef}"`
  return new InvalidInput([issue('externalRef', 'DUPLICATE_ENTRY', words)])
}
