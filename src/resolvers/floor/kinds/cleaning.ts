// A vessel was cleaned: it takes beer from the next day on, however long its turnaround would have lasted (V3).
import { z } from 'zod'
import { dateOf, dayOf } from '../../../database/calendar-day.ts'
import { issue } from '../../../errors.ts'
import type { LocalDate } from '../../../planner/documents/index.ts'
import { EFFECTIVE } from '../../../records/fact-rows.ts'
import { thingRef } from '../../thing-ref.ts'
import { type FactContext, factKind, said } from '../fact-kind.ts'
import { type FoundVessel, findVessel } from './find.ts'

export const vesselCleaned = factKind({
  shape: z.strictObject({ ...said, vessel: thingRef }),
  mean: async (context, { vessel: ref }) => {
    const vessel = await findVessel(context, ref)
    if (!vessel) return undefined
    await noteBeerIn(context, vessel, context.dayAt(vessel.site))
    const { id: vesselId, emptiedOn } = vessel
    return {
      happened: {
        kind: 'VESSEL_CLEANED',
        data: { vesselId, ...(emptiedOn ? { emptiedOn: dayOf(emptiedOn) } : {}) },
      },
      siteId: vessel.siteId,
      subjects: [{ kind: 'VESSEL', id: vesselId }],
      carriedOut: [],
      warnings: [],
    }
  },
})

/** Kinds of fact by which a batch comes into a vessel. */
const ENTRIES = ['BREWED', 'TRANSFERRED', 'MOVED', 'PART_TRANSFERRED', 'BLENDED']

/** A vessel is not cleaned while beer is in it. What came in on the day itself may have come after the cleaning. */
async function noteBeerIn({ tx, distributorId, note, path }: FactContext, vessel: FoundVessel, day: LocalDate) {
  const { id: vesselId, name } = vessel
  const batch = await tx.batch.findFirst({ where: { distributorId, vesselId, emptiedOn: null } })
  if (!batch) return
  const subjects = [
    { subjects: { some: { kind: 'BATCH' as const, subjectId: batch.id } } },
    { subjects: { some: { kind: 'VESSEL' as const, subjectId: vesselId } } },
  ]
  const entered = await tx.fact.findFirst({
    where: { distributorId, ...EFFECTIVE, kind: { in: ENTRIES }, AND: subjects },
    orderBy: { on: 'desc' },
  })
  if (!entered || entered.on < dateOf(day))
    note(issue(path('vessel'), 'VESSEL_HOLDS_BEER', `${name} holds the batch "${batch.code}" still`))
}
