// How inputs name a thing: by its id as the API gives it, or by the caller's own reference.
import { z } from 'zod'
import type { TransactionClient } from '../database/client.ts'
import { Conflict, issue, NotFound } from '../errors.ts'
import { Faults } from './faults.ts'
import { globalId, rowIdIn } from './global-id.ts'

/** The shape of such an input: exactly one of the two is given. */
export const thingRef = z.union([
  z.strictObject({ id: globalId, externalRef: z.undefined().optional() }),
  z.strictObject({ externalRef: z.string().min(1).max(200), id: z.undefined().optional() }),
])

export type ThingRef = z.infer<typeof thingRef>

/** Most that a number of an order can be: what the column holds. */
const MOST_NUMBER = 2_147_483_647

/** The shape of an input that names an order: people know it by its number, too. */
export const orderRef = z.union([
  z.strictObject({ ...thingRef.options[0].shape, number: z.undefined().optional() }),
  z.strictObject({ ...thingRef.options[1].shape, number: z.undefined().optional() }),
  z.strictObject({
    number: orderNumber(),
    id: z.undefined().optional(),
    externalRef: z.undefined().optional(),
  }),
])

export type OrderRef = z.infer<typeof orderRef>

/** The number of an order. */
export function orderNumber() {
  return z.int().min(1).max(MOST_NUMBER)
}

/** The kinds of things that inputs can name; the names of the models. */
const THING_KINDS = [
  'Site',
  'Vessel',
  'Beer',
  'Pack',
  'ContainerType',
  'Filler',
  'Fleet',
  'Store',
  'Route',
  'Account',
  'Order',
  'OrderLine',
  'Reservation',
  'Batch',
  'StockLot',
] as const

export type ThingKind = (typeof THING_KINDS)[number]

/** Whether inputs can name things of a kind. */
export function isThingKind(kind: string): kind is ThingKind {
  return THING_KINDS.some((each) => each === kind)
}

/** What is known of a thing once it is found. */
export interface FoundThing {
  id: string
  /** Whether it was retired. False for kinds that are never retired. */
  retired: boolean
}

/** Text to name `ref` with in a message. */
export function wordsOf(ref: OrderRef): string {
  return ref.externalRef ?? ref.id ?? String(ref.number)
}

/** Finds the thing within the distributor; undefined where there is none of this kind. One query. */
export async function findThing(
  tx: TransactionClient,
  distributorId: string,
  kind: ThingKind,
  ref: ThingRef,
): Promise<FoundThing | undefined> {
  const where = whereOf(distributorId, kind, ref)
  if (!where) return undefined
  const row = await findRow(tx, kind, where)
  return row ? { id: row.id, retired: 'retiredAt' in row && row.retiredAt !== null } : undefined
}

/** The id of the order that a use-case is about; undefined where there is none. One query. */
export async function findOrder(
  tx: TransactionClient,
  distributorId: string,
  ref: OrderRef,
): Promise<string | undefined> {
  if (ref.number === undefined) return (await findThing(tx, distributorId, 'Order', ref))?.id
  const where = { distributorId_number: { distributorId, number: ref.number } }
  return (await tx.order.findUnique({ where, select: { id: true } }))?.id
}

/** A reference inside an input, looked up when it is asked for; what is wrong is collected, so that all faults are listed at once. */
export class References extends Faults {
  readonly #tx: TransactionClient
  readonly #distributorId: string

  constructor(tx: TransactionClient, distributorId: string) {
    super()
    this.#tx = tx
    this.#distributorId = distributorId
  }

  /**
   * The id of the thing that the input names at `path`. Where there is none, or it was retired (unless `retired` allows
   * it), an issue is noted and '' answered: call `settle` before using any.
   */
  async id(kind: ThingKind, ref: ThingRef, path: string, { retired = false } = {}): Promise<string> {
    const found = await findThing(this.#tx, this.#distributorId, kind, ref)
    if (!found) this.note(issue(path, 'UNKNOWN_REFERENCE', `there is no ${kind} "${wordsOf(ref)}"`))
    else if (found.retired && !retired) this.note(issue(path, 'RETIRED', `the ${kind} "${wordsOf(ref)}" was retired`))
    return found?.id ?? ''
  }

  /** The thing that a use-case is about; `NotFound` is noted and undefined answered where there is none. */
  async subject(kind: ThingKind, ref: ThingRef, path: string): Promise<FoundThing | undefined> {
    const found = await findThing(this.#tx, this.#distributorId, kind, ref)
    if (!found) this.refuse(path, new NotFound(kind, wordsOf(ref)))
    return found
  }

  /** The id of the order that a use-case is about; the same. */
  async order(ref: OrderRef, path: string): Promise<string | undefined> {
    const id = await findOrder(this.#tx, this.#distributorId, ref)
    if (id === undefined) this.refuse(path, new NotFound('Order', wordsOf(ref)))
    return id
  }

  /**
   * Notes that another thing of the kind than `own` has the reference, where one has; `compare` says which fields of the input differ from
   * that thing. Where none does, the input was sent before: nothing further is looked at, and what is known is thrown. Answers whether
   * it is free.
   */
  async free(
    kind: ThingKind,
    externalRef: string | undefined,
    path: string,
    own?: string,
    compare?: (id: string) => Promise<readonly string[] | undefined>,
  ): Promise<boolean> {
    if (externalRef === undefined) return true
    const holder = await findThing(this.#tx, this.#distributorId, kind, { externalRef })
    if (!holder || holder.id === own) return true
    const differs = await compare?.(holder.id)
    const justSo = differs?.length === 0 ? ', and is just as you say' : ''
    const message = `Another ${kindInWords(kind)} has the reference "${externalRef}"${justSo}.`
    const taken = new Conflict('EXTERNAL_REF_TAKEN', message, [], [], {
      ...{ type: kind, id: holder.id, differs },
    })
    if (differs?.length === 0) this.giveUp(path, taken)
    this.refuse(path, taken)
    return false
  }
}

function whereOf(distributorId: string, kind: ThingKind, ref: ThingRef) {
  if (ref.externalRef !== undefined) return { distributorId, externalRef: ref.externalRef }
  const id = rowIdIn(kind, ref.id ?? '')
  return id === undefined ? undefined : { distributorId, id }
}

type Where = { distributorId: string; id: string } | { distributorId: string; externalRef: string }
type Row = { id: string; retiredAt?: Date | null } | null

function findRow(tx: TransactionClient, kind: ThingKind, where: Where): Promise<Row> {
  switch (kind) {
    case 'Site':
      return tx.site.findFirst({ where })
    case 'Vessel':
      return tx.vessel.findFirst({ where })
    case 'Beer':
      return tx.beer.findFirst({ where })
    case 'Pack':
      return tx.pack.findFirst({ where })
    case 'ContainerType':
      return tx.containerType.findFirst({ where })
    case 'Filler':
      return tx.filler.findFirst({ where })
    case 'Fleet':
      return tx.fleet.findFirst({ where })
    case 'Store':
      return tx.store.findFirst({ where })
    case 'Route':
      return tx.route.findFirst({ where })
    case 'Account':
      return tx.account.findFirst({ where })
    case 'Order':
      return tx.order.findFirst({ where })
    case 'OrderLine':
      return tx.orderLine.findFirst({ where })
    case 'Reservation':
      return tx.reservation.findFirst({ where })
    case 'Batch':
      return tx.batch.findFirst({ where })
    case 'StockLot':
      return tx.stockLot.findFirst({ where })
  }
}

/** `StockLot` as "stock lot". */
function kindInWords(kind: ThingKind): string {
  return kind.replaceAll(/(?<=[a-z])[A-Z]/g, (letter) => ` ${letter}`).toLowerCase()
}
