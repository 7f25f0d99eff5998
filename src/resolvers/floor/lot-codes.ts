// The code of a lot, from the plan on: what is planned to be filled has the code that its lot gets when the fill is said.
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { chosenCode, dayOfLotCode, type Filled, type LotToBe, startOfCodes } from '../../floor/lot-code.ts'
import { groupBy } from '../../records/group.ts'

/** A planned run as its row has it. */
export interface PlannedRun {
  planId: string
  id: string
  siteId: string
  batchId: string | null
  /** The planned brew that it draws from, where it draws from no batch. */
  brewId: string | null
  packId: string
  on: Date
}

/** The codes of planned runs, in their order: of lots that are to be, or that are there already. */
export async function plannedLotCodes(
  tx: TransactionClient,
  distributorId: string,
  runs: readonly PlannedRun[],
): Promise<string[]> {
  const sites = await tx.site.findMany({ where: { distributorId }, select: { id: true, number: true } })
  const numbers = new Map(sites.map(({ id, number }) => [id, number]))
  const batchIds = await batchIdsOfBrews(tx, distributorId, runs)
  const lots = runs.map(
    ({ siteId, on, batchId, brewId, packId }): LotToBe => ({
      site: numbers.get(siteId) ?? 0,
      day: dayOf(on),
      batchId: batchId ?? batchIds.get(brewId ?? '') ?? '',
      packId,
    }),
  )
  const others = await tx.fillRun.findMany({
    where: {
      distributorId,
      planId: { in: [...new Set(runs.map(({ planId }) => planId))] },
      on: { in: [...new Set(lots.map(({ day }) => day))].map(dateOf) },
    },
    select: { planId: true, on: true, batchId: true, brewId: true, packId: true },
  })
  const planned = groupBy(others, ({ planId, on }) => `${planId} ${dayOf(on)}`)
  const taken = await takenCodes(tx, distributorId, lots)
  return lots.map((lot, index) => {
    const ofDay = planned(`${runs[index]?.planId} ${lot.day}`)
    const rivals = ofDay.map(({ batchId, brewId, packId }) => ({ batchId: batchId ?? brewId ?? '', packId }))
    return chosenCode(lot, taken, rivals)
  })
}

/** The ids that batches of planned brews get, by the brew's id. */
async function batchIdsOfBrews(
  tx: TransactionClient,
  distributorId: string,
  runs: readonly PlannedRun[],
): Promise<Map<string, string>> {
  const brewIds = [...new Set(runs.flatMap(({ brewId }) => brewId ?? []))]
  const taken = await tx.batch.findMany({ where: { distributorId, id: { in: brewIds } }, select: { id: true } })
  const ids = new Map(brewIds.map((id) => [id, id]))
  for (const { id } of taken) ids.set(id, await freeBatchId(tx, distributorId, id))
  return ids
}

/** The lot of a fill: one for each site, day, batch and pack. `planned` are the other fills of the day. */
export async function lotOfFill(
  tx: TransactionClient,
  distributorId: string,
  lot: LotToBe,
  planned: Iterable<Filled>,
): Promise<{ id: string; code: string; exists: boolean }> {
  const code = chosenCode(lot, await takenCodes(tx, distributorId, [lot]), planned)
  const known = await tx.stockLot.findFirst({ where: { distributorId, code }, select: { id: true } })
  return known ? { id: known.id, code, exists: true } : { id: `lot-${code}`, code, exists: false }
}

/** Whose the codes are that lots could have; one that a lot of another day has kept is of no batch and pack. */
async function takenCodes(
  tx: TransactionClient,
  distributorId: string,
  lots: readonly LotToBe[],
): Promise<Map<string, Filled>> {
  const starts = [...new Set(lots.map(startOfCodes))].map((startsWith) => ({ code: { startsWith } }))
  const rows = await tx.stockLot.findMany({
    where: { distributorId, OR: starts },
    select: { code: true, batchId: true, packId: true, filledOn: true },
  })
  return new Map(
    rows.map(({ code, batchId, packId, filledOn }) => {
      const isOfDay = dayOfLotCode(code) === dayOf(filledOn)
      return [code, isOfDay ? { batchId: batchId ?? '', packId } : { batchId: '', packId: '' }]
    }),
  )
}

/** The id that a brew's batch gets: the planned brew's own, unless a batch of an earlier brew has it. */
export async function freeBatchId(tx: TransactionClient, distributorId: string, wanted?: string): Promise<string> {
  const base = wanted ?? 'batch'
  for (let n = wanted === undefined ? 1 : 0; ; n++) {
    const id = n === 0 ? base : `${base}-${n}`
    if (!(await tx.batch.findUnique({ where: { distributorId_id: { distributorId, id } } }))) return id
  }
}
