// Things that facts name, looked up with what their meaning needs.
import { z } from 'zod'
import type { Prisma } from '../../../database/client.ts'
import { issue } from '../../../errors.ts'
import type { Fact } from '../../../floor/facts/fact.ts'
import type { ThingRef } from '../../thing-ref.ts'
import type { Decision, FactContext } from '../fact-kind.ts'

/** Specific gravities that beer and wort have (common practice). */
export const gravity = z.number().min(0.98).max(1.2)
/** Containers of one fact. */
export const count = z.int().min(0).max(100_000)
export const some = z.int().min(1).max(100_000)
export const litres = z.number().min(0).max(1_000_000)
export const someLitres = z.number().gt(0).max(1_000_000)

/** Litres as whole millilitres. */
export const millilitres = (litres: number): number => Math.round(litres * 1000)

export type FoundBatch = Prisma.BatchGetPayload<{ include: { beer: true; vessel: { include: { site: true } } } }>

/** The batch that the input names, with its beer, vessel and site; a planned brew that has become none is none. */
export async function findBatch(context: FactContext, ref: ThingRef, field = 'batch'): Promise<FoundBatch | undefined> {
  const { refs, path } = context
  const id = await refs.id('Batch', ref, path(field))
  if (id === '') return undefined
  return batchById(context, id)
}

/** The batch of that id, which is there. */
export function batchById(
  { tx, distributorId }: Pick<FactContext, 'tx' | 'distributorId'>,
  id: string,
): Promise<FoundBatch> {
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

/** Notes that nothing in force plans what the input names as the decision that it carries out. */
export function noteUnplanned(context: FactContext, field: string, id: string): void {
  context.note(issue(context.path(field), 'NOT_PLANNED', `the plan in force has no such decision "${id}"`))
}

/** Whether an assumed fact is of the day on which the fact in hand is said to have happened, at its own site. */
export function ofTheSameDay({ tx, distributorId, dayAt }: FactContext): (fact: Fact) => Promise<boolean> {
  return async ({ siteId: id, day }) =>
    dayAt(await tx.site.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })) === day
}

/**
 * What was assumed of a planned decision, or that it was not done, and is said now. Where the plan has a decision of that name it is meant,
 * unless the assumed one is of the day that is said: plans use names again.
 */
export async function assumedByName(
  context: FactContext,
  kind: 'BREWED' | 'FILLED' | 'TRANSFERRED',
  decision: Decision,
  isPlanned: boolean,
): Promise<Fact | undefined> {
  if (context.corrects) return undefined
  const kinds = [kind, 'NOT_DONE'] as const
  const ofDay = await context.takeAssumed({ kinds, decision, where: ofTheSameDay(context) })
  return ofDay ?? (isPlanned ? undefined : await context.takeAssumed({ kinds, decision }))
}

/** The first of the codes `nth(1)`, `nth(2)` … that no batch has. */
export async function freeBatchCode(
  { tx, distributorId }: Pick<FactContext, 'tx' | 'distributorId'>,
  nth: (n: number) => string,
): Promise<string> {
  for (let n = 1; ; n++) {
    const code = nth(n)
    if (!(await tx.batch.findFirst({ where: { distributorId, code }, select: { id: true } }))) return code
  }
}
