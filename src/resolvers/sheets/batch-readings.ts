// What instruments have shown of batches, from the facts that say so.
import type { Prisma } from '../../database/client.ts'
import { inOrder } from '../../floor/facts/batch-history.ts'
import type { Fact, FactOf } from '../../floor/facts/fact.ts'
import { instantOf } from '../../planner/documents/index.ts'
import { factsAbout } from '../../records/fact-rows.ts'
import type { BatchReadings } from '../../sheets/fill-sheet.ts'
import type { SheetSession } from './sheet-session.ts'

type BatchRow = Prisma.BatchGetPayload<{ include: { beer: true } }>

const HOUR = 3_600_000

/** The readings of batches that stand, by batch. */
export async function batchReadings(
  { tx, distributorId, facts: { sites } }: SheetSession,
  batches: readonly BatchRow[],
): Promise<Map<string, BatchReadings>> {
  const facts = await factsAbout(
    tx,
    distributorId,
    'BATCH',
    batches.map(({ id }) => id),
  )
  return new Map(
    batches.map((row) => {
      const site = sites.get(row.siteId)?.site
      const at = ({ at: instant, day }: Fact) =>
        instant !== undefined || !site ? new Date(instant ?? day) : instantOf(day, site.fillStarts, site.timeZone)
      return [row.id, readingsOf(row, facts.get(row.id) ?? [], at)]
    }),
  )
}

function readingsOf(row: BatchRow, facts: readonly Fact[], at: (fact: Fact) => Date): BatchReadings {
  const { readyAt, fermentationProven, beer } = row
  const read = inOrder(facts).flatMap((fact) => (fact.kind === 'READING' ? [fact] : []))
  const last = (of: (data: FactOf<'READING'>['data']) => number | undefined) =>
    read.map(({ data }) => of(data)).findLast((value) => value !== undefined)
  const fermented = readyAt.getTime() - (beer.restHours + beer.dryHopHours + beer.crashHours) * HOUR
  const since = read.filter((fact) => at(fact).getTime() >= fermented).flatMap(({ data: { celsius } }) => celsius ?? [])
  return {
    isProven: fermentationProven,
    gravity: last(({ gravity }) => gravity),
    celsius: last(({ celsius }) => celsius),
    ...(since.length === 0 ? {} : { warmestCelsius: Math.max(...since) }),
    gaugeBar: last(({ bar }) => bar),
    co2Volumes: last(({ co2Volumes }) => co2Volumes),
  }
}
