// Runs of the plan with what the set-up and the readings say of them, as a fill sheet needs it.
import type { Prisma } from '../../database/client.ts'
import { type RunFacts, vesselAfter } from '../../planner/index.ts'
import { readStrengths } from '../../records/batch-strengths.ts'
import { byId } from '../../records/sheet-records.ts'
import type { RunToFill } from '../../sheets/fill-sheet.ts'
import { plannedLotCodes } from '../floor/lot-codes.ts'
import { batchReadings } from './batch-readings.ts'
import { labelLines } from './label-lines.ts'
import type { SheetSession } from './sheet-session.ts'

const PACK = { beer: true, containerType: true } as const
type PackRow = Prisma.PackGetPayload<{ include: typeof PACK }>

/** The runs, which are of one day, with everything that a sheet shows beside the plan. */
export async function runsToFill(session: SheetSession, runs: readonly RunFacts[]): Promise<RunToFill[]> {
  const { tx, distributorId, facts } = session
  const packs = byId(await tx.pack.findMany({ where: { distributorId }, include: PACK }))
  const [vessels, fillers] = [
    byId(await tx.vessel.findMany({ where: { distributorId } })),
    byId(await tx.filler.findMany({ where: { distributorId } })),
  ]
  const stores = await tx.store.findMany({ where: { distributorId, retiredAt: null } })
  const batchIds = [...new Set(runs.map(({ batch }) => batch.id))]
  const batches = byId(
    await tx.batch.findMany({ where: { distributorId, id: { in: batchIds } }, include: { beer: true } }),
  )
  const readings = await batchReadings(session, [...batches.values()])
  const strengthOf = await readStrengths(tx, distributorId, batchIds)
  const codes = await lotCodesOf(session, runs)
  return runs.flatMap((run) => {
    const { run: decision, batch, stay, day } = run
    const pack = packs.get(decision.packId)
    if (!pack) return []
    const lotCode = codes.get(decision.id) ?? ''
    const bestBefore = facts.dateOf(day + pack.shelfLifeDays)
    const row = batches.get(batch.id)
    const strength = strengthOf(batch.id, pack.beer.abv)
    const { movesOn, ...after } = vesselAfter(run)
    return {
      ...{ decisionId: decision.id, batchId: batch.id, ...(row ? { batchCode: row.code } : {}) },
      readings: readings.get(batch.id) ?? { isProven: false },
      vessel: { id: stay.vessel.id, name: vessels.get(stay.vessel.id)?.name ?? '', kind: stay.in },
      filler: { id: decision.fillerId, name: fillers.get(decision.fillerId)?.name ?? '' },
      beer: beerOf(pack),
      pack: packOf(pack),
      container: { ...containerOf(pack), drawLitres: run.of.drawLitres },
      quantity: decision.quantity,
      ...after,
      ...(movesOn
        ? { movesOn: { vesselName: vessels.get(movesOn.vessel.id)?.name ?? '', on: facts.dateOf(movesOn.day) } }
        : {}),
      storeName: stores.find(({ siteId, climate }) => siteId === stay.vessel.siteId && climate === pack.conditionIn)
        ?.name,
      ...{ fitOn: facts.dateOf(day + pack.conditioningDays), bestBefore, lotCode },
      strength,
      label: labelLines(pack, { lotCode, bestBefore, strength }),
    }
  })
}

function beerOf({ beer }: PackRow): RunToFill['beer'] {
  const { id, name, finalGravity, dryHopHours } = beer
  return { id, name, finalGravity: finalGravity ?? undefined, isDryHopped: dryHopHours > 0 }
}

function packOf(pack: PackRow): RunToFill['pack'] {
  const { id, name, primed, conditionIn, finingsProduct: product, finingsMl: amount, finingsPer: per } = pack
  return {
    ...{ id, name, primed, conditionIn },
    ...(product !== null && amount !== null && per !== null ? { finings: { product, amount, per } } : {}),
    sugar: pack.sugar ?? undefined,
    targetCarbonation: pack.targetCarbonation ?? undefined,
    leastCarbonation: pack.leastCarbonation ?? undefined,
    mostCarbonation: pack.mostCarbonation ?? undefined,
    hopsPerLitre: pack.hopsPerLitre ?? undefined,
    purged: pack.purged ?? undefined,
  }
}

function containerOf({ containerType }: PackRow): Omit<RunToFill['container'], 'drawLitres'> {
  const { id, name, kind, nominalLitres, tareKg, pressureBar } = containerType
  return { id, name, kind, nominalLitres, tareKg: tareKg ?? undefined, pressureBar: pressureBar ?? undefined }
}

async function lotCodesOf({ tx, distributorId, planId }: SheetSession, runs: readonly RunFacts[]) {
  if (planId === undefined || runs.length === 0) return new Map<string, string>()
  const rows = await tx.fillRun.findMany({
    where: { distributorId, planId, id: { in: runs.map(({ run: { id } }) => id) } },
  })
  const codes = await plannedLotCodes(tx, distributorId, rows)
  return new Map(rows.map(({ id }, at) => [id, codes[at] ?? '']))
}
