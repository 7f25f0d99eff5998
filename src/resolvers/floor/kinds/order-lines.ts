// What travels for an order line: the line that a fact names, and lots of it.
import { z } from 'zod'
import type { Prisma } from '../../../database/client.ts'
import { issue } from '../../../errors.ts'
import { type ThingRef, thingRef } from '../../thing-ref.ts'
import type { FactContext } from '../fact-kind.ts'
import { findLot, lotById, some } from './find.ts'

export const lots = z
  .array(z.strictObject({ lot: thingRef, quantity: some }))
  .min(1)
  .max(100)

export type FoundLine = Prisma.OrderLineGetPayload<{ include: { order: { include: { account: true } }; pack: true } }>

/** The line that the input names, with its account and pack. One that is no order's, or no order's any more, can have no beer sent. */
export async function findLine(context: FactContext, ref: ThingRef): Promise<FoundLine | undefined> {
  const { refs, path, note } = context
  const id = await refs.id('OrderLine', ref, path('orderLine'))
  if (id === '') return undefined
  const line = await lineById(context, id)
  if (line.status === 'RESERVED')
    note(issue(path('orderLine'), 'STATUS_FORBIDS', 'the line is of a reservation: order it first'))
  if (line.status === 'LAPSED' || line.status === 'CANCELLED')
    note(issue(path('orderLine'), 'STATUS_FORBIDS', 'the line is no longer wanted: order it again'))
  return line
}

/** The line that the input names, of which beer may have been sent: whatever has become of it since. */
export async function findSentLine(context: FactContext, ref: ThingRef): Promise<FoundLine | undefined> {
  const id = await context.refs.id('OrderLine', ref, context.path('orderLine'))
  return id === '' ? undefined : lineById(context, id)
}

/** The line of that id, which is there, as it is now. */
export function lineById(
  { tx, distributorId }: Pick<FactContext, 'tx' | 'distributorId'>,
  id: string,
): Promise<FoundLine> {
  return tx.orderLine.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id } },
    include: { order: { include: { account: true } }, pack: true },
  })
}

/** Containers of a lot, with what is known of it. */
export interface NamedLot {
  lotId: string
  quantity: number
  siteId: string
  /** How many of it stand at the site. */
  known: number
  code: string
  readyOn: Date
}

/** The lots that the input names, each of the line's pack. */
export async function findLots(
  context: FactContext,
  line: FoundLine,
  given: z.output<typeof lots>,
): Promise<NamedLot[]> {
  const found: NamedLot[] = []
  for (const [index, { lot: ref, quantity }] of given.entries()) {
    const lot = await findLot(context, ref, `lots[${index}].lot`)
    if (!lot) continue
    if (lot.packId !== line.packId)
      context.note(issue(context.path(`lots[${index}].lot`), 'OTHER_PACK', `the lot ${lot.code} is of another pack`))
    found.push({
      lotId: lot.id,
      quantity,
      siteId: lot.siteId,
      known: lot.quantity,
      code: lot.code,
      readyOn: lot.readyOn,
    })
  }
  return found
}

/** Containers in all. */
export function countOf(list: readonly { quantity: number }[]): number {
  return list.reduce((sum, { quantity }) => sum + quantity, 0)
}

/** What is known of a lot, which is there. */
export async function knownOf(context: FactContext, lotId: string) {
  const { siteId, quantity: known, code, readyOn } = await lotById(context, lotId)
  return { siteId, known, code, readyOn }
}
