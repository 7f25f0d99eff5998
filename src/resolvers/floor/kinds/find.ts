// Things that facts name, looked up with what their meaning needs.
import type { Prisma } from '../../../database/client.ts'
import { issue } from '../../../errors.ts'
import type { ThingRef } from '../../thing-ref.ts'
import type { FactContext } from '../fact-kind.ts'

/** Litres as whole millilitres. */
export const millilitres = (litres: number): number => Math.round(litres * 1000)

export type FoundBatch = Prisma.BatchGetPayload<{ include: { beer: true; vessel: { include: { site: true } } } }>

/** The batch that the input names, with its beer, vessel and site; a planned brew that has become none is none. */
export async function findBatch(context: FactContext, ref: ThingRef, field = 'batch'): Promise<FoundBatch | undefined> {
  const { tx, distributorId, refs, path } = context
  const id = await refs.id('Batch', ref, path(field))
  if (id === '') return undefined
  return tx.batch.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id } },
    include: { beer: true, vessel: { include: { site: true } } },
  })
}

export type FoundLot = Prisma.StockLotGetPayload<{
  include: { site: true; pack: { include: { containerType: true } } }
}>

export async function findLot(context: FactContext, ref: ThingRef, field = 'lot'): Promise<FoundLot | undefined> {
  const { refs, path } = context
  const id = await refs.id('StockLot', ref, path(field))
  return id === '' ? undefined : lotById(context, id)
}

/** The lot of that id, which is there. */
export function lotById(
  { tx, distributorId }: Pick<FactContext, 'tx' | 'distributorId'>,
  id: string,
): Promise<FoundLot> {
  return tx.stockLot.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id } },
    include: { site: true, pack: { include: { containerType: true } } },
  })
}

export type FoundVessel = Prisma.VesselGetPayload<{ include: { site: true } }>

export async function findVessel(
  context: FactContext,
  ref: ThingRef,
  field = 'vessel',
): Promise<FoundVessel | undefined> {
  const { tx, distributorId, refs, path } = context
  const id = await refs.id('Vessel', ref, path(field), { retired: true })
  if (id === '') return undefined
  return tx.vessel.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } }, include: { site: true } })
}

export async function findSite(context: FactContext, ref: ThingRef, field = 'site') {
  const { tx, distributorId, refs, path } = context
  const id = await refs.id('Site', ref, path(field), { retired: true })
  if (id === '') return undefined
  return tx.site.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
}

export type FoundLine = Prisma.OrderLineGetPayload<{ include: { order: { include: { account: true } }; pack: true } }>

/** The line that the input names, with its account and pack. One that is no order's, or no order's any more, can have no beer sent. */
export async function findLine(context: FactContext, ref: ThingRef): Promise<FoundLine | undefined> {
  const { refs, path, note, tx, distributorId } = context
  const id = await refs.id('OrderLine', ref, path('orderLine'))
  if (id === '') return undefined
  const line = await tx.orderLine.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id } },
    include: { order: { include: { account: true } }, pack: true },
  })
  if (line.status === 'RESERVED')
    note(issue(path('orderLine'), 'STATUS_FORBIDS', 'the line is of a reservation: order it first'))
  if (line.status === 'LAPSED' || line.status === 'CANCELLED')
    note(issue(path('orderLine'), 'STATUS_FORBIDS', 'the line is no longer wanted: order it again'))
  return line
}

/** Notes that nothing in force plans what the input names as the decision that it carries out. */
export function noteUnplanned(context: FactContext, field: string, id: string): void {
  context.note(issue(context.path(field), 'NOT_PLANNED', `the plan in force has no such decision "${id}"`))
}
