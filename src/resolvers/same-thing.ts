// Whether an input says of a thing what the records say: for one who sends the same again, or finds a reference taken.
import type { TransactionClient } from '../database/client.ts'
import { decodeGlobalId } from './global-id.ts'
import { findThing, isThingKind, thingRef } from './thing-ref.ts'

/** Where what an input refers to is looked up. */
export interface LookUp {
  tx: TransactionClient
  distributorId: string
}

/**
 * The fields whose values differ between a thing as an input would describe it, references by id, and what an input gives; in the order
 * of the input. The order of a list matters only for fields that are `inOrder`.
 */
export async function fieldsThatDiffer(
  lookUp: LookUp,
  described: object,
  given: object,
  inOrder: readonly string[] = [],
): Promise<string[]> {
  const is = new Map<string, unknown>(Object.entries(described))
  const asked = new Map<string, unknown>(Object.entries(given))
  const differing: string[] = []
  for (const key of new Set([...asked.keys(), ...is.keys()]))
    if (!(await isSame(lookUp, is.get(key), asked.get(key), inOrder.includes(key)))) differing.push(key)
  return differing
}

/** Whether a value of the records is the one that an input gives. What is missing is the same as nothing. */
export async function isSame(lookUp: LookUp, is: unknown, given: unknown, inOrder = false): Promise<boolean> {
  if (is === given || (isNothing(is) && isNothing(given))) return true
  if (typeof is === 'string' && typeof given === 'string') return isSameInstant(is, given)
  if (Array.isArray(is) && Array.isArray(given)) return isSameList(lookUp, is, given, inOrder)
  if (typeof is !== 'object' || typeof given !== 'object' || !is || !given) return false
  const [known, named] = [thingRef.safeParse(is), thingRef.safeParse(given)]
  if (known.success && named.success) return isSameThing(lookUp, known.data.id ?? '', named.data)
  return (await fieldsThatDiffer(lookUp, is, given)).length === 0
}

function isNothing(value: unknown): boolean {
  return value === undefined || value === null
}

const INSTANT = /^\d{4}-\d\d-\d\dT/

function isSameInstant(is: string, given: string): boolean {
  return INSTANT.test(is) && INSTANT.test(given) && Date.parse(is) === Date.parse(given)
}

async function isSameList(
  lookUp: LookUp,
  is: readonly unknown[],
  given: readonly unknown[],
  inOrder: boolean,
): Promise<boolean> {
  if (is.length !== given.length) return false
  const left = [...is]
  for (const value of given) {
    const at = await placeIn(lookUp, inOrder ? left.slice(0, 1) : left, value)
    if (at === undefined) return false
    left.splice(at, 1)
  }
  return true
}

/** The first place of a list that has a value; undefined where none has. */
async function placeIn(lookUp: LookUp, list: readonly unknown[], value: unknown): Promise<number | undefined> {
  for (const [index, each] of list.entries()) if (await isSame(lookUp, each, value)) return index
  return undefined
}

async function isSameThing({ tx, distributorId }: LookUp, globalId: string, ref: Parameters<typeof findThing>[3]) {
  const known = decodeGlobalId(globalId)
  if (!known || !isThingKind(known.kind)) return false
  return (await findThing(tx, distributorId, known.kind, ref))?.id === known.id
}
