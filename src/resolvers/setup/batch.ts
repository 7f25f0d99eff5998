// Batches that stand in vessels now, entered as they are found: for a house that starts with beer in its cellar.
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { Conflict, issue } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { batchFaults, type FaultBeside, orderFaults } from './batch-faults.ts'
import { planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, name } from './shapes.ts'

const shape = z.strictObject({
  externalRef,
  code: name,
  beer: thingRef,
  vessel: thingRef,
  litres: planned.batch.litres,
  readyAt: planned.batch.readyAt,
  brewedOn: localDate.optional(),
  transferredOn: localDate.optional(),
  openedOn: localDate.optional(),
  primable: planned.batch.primable,
  quarantined: planned.batch.quarantined,
  emptiedOn: localDate.optional(),
})

const noun: Noun<typeof shape> = {
  kind: 'Batch',
  key: 'batch',
  shape,
  fixed: ['beer'],
  saidByFacts: {
    vessel: 'record `transferred`',
    litres: 'record `batchCounted`',
    readyAt: 'record `ready`',
    brewedOn: 'correct the fact `brewed`',
    transferredOn: 'record `transferred`',
    openedOn: 'record `filled`',
    primable: 'it stays as it was entered',
    quarantined: 'record `batchQuarantined` or `batchReleased`',
    emptiedOn: 'record `dumped`, or `filled` with `emptied`',
  },
  describe: async (tx, key) => {
    const row = await tx.batch.findUniqueOrThrow({ where: { distributorId_id: key } })
    const day = (date: Date | null) => (date ? dayOf(date) : undefined)
    return {
      externalRef: row.externalRef ?? undefined,
      code: row.code,
      beer: { id: encodeGlobalId('Beer', row.beerId) },
      vessel: { id: encodeGlobalId('Vessel', row.vesselId) },
      litres: row.litres,
      readyAt: row.readyAt.toISOString(),
      brewedOn: day(row.brewedOn),
      transferredOn: day(row.transferredOn),
      openedOn: day(row.openedOn),
      primable: row.primable,
      quarantined: row.quarantined,
      emptiedOn: day(row.emptiedOn),
    }
  },
  save: async ({ tx, refs, clock, isNew, names }, key, { beer, vessel, readyAt, ...given }) => {
    const { distributorId } = key
    // Beer that stands in a vessel is a fact, whether or not the vessel or the beer was retired since.
    const beerId = await refs.id('Beer', beer, 'beer', { retired: true })
    const vesselId = await refs.id('Vessel', vessel, 'vessel', { retired: !isNew && !names('vessel') })
    const place = await tx.vessel.findUnique({
      where: { distributorId_id: { distributorId, id: vesselId } },
      include: { site: { select: { timeZone: true } } },
    })
    const { transferredOn, openedOn, brewedOn, emptiedOn } = given
    const standsIn = place && { ...place, ...place.site, today: todayIn(clock, place.site.timeZone) }
    // A change of something else leaves alone what was entered before.
    const isAsked = ([, { path }]: FaultBeside) => isNew || names('vessel') || names(path)
    const found = [
      ...(standsIn ? batchFaults({ ...given, readyAt }, standsIn).filter(isAsked) : []),
      ...orderFaults({ ...given, readyAt }, standsIn ?? undefined),
    ]
    for (const [besides, fault] of found) refs.noteBeside(besides, fault)
    if ((isNew || names('litres') || names('emptiedOn')) && given.litres === 0 && emptiedOn === undefined)
      refs.note(issue('litres', 'OUT_OF_RANGE', 'must be more than 0, unless the vessel was emptied (`emptiedOn`)'))
    const standing = { distributorId, vesselId, emptiedOn: null, id: { not: key.id } }
    const holder = emptiedOn === undefined ? await tx.batch.findFirst({ where: standing }) : null
    if (holder)
      refs.noteBeside(
        ['emptiedOn'],
        issue('vessel', 'VESSEL_HOLDS_TWO_BATCHES', `the vessel holds the batch "${holder.code}" already (V3)`),
      )
    const namesake = await tx.batch.findFirst({ where: { distributorId, code: given.code, id: { not: key.id } } })
    if (namesake) refs.refuse('code', new Conflict('CODE_TAKEN', `code: another batch has the code "${given.code}".`))
    refs.settle()
    if (!place) throw new Error(`the vessel ${vesselId} was found, then not`)
    const date = (day: string | undefined) => (day === undefined ? null : dateOf(day))
    const data = {
      externalRef: given.externalRef ?? null,
      code: given.code,
      beerId,
      siteId: place.siteId,
      vesselId,
      vesselKind: place.kind,
      // Nothing is left of what was emptied.
      litres: emptiedOn === undefined ? given.litres : 0,
      readyAt: new Date(readyAt),
      brewedOn: date(brewedOn),
      transferredOn: date(transferredOn),
      openedOn: date(openedOn),
      primable: given.primable,
      quarantined: given.quarantined,
      emptiedOn: date(emptiedOn),
    }
    await tx.batch.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
  },
}

export const { create: createBatch, change: changeBatch } = useCasesOf(noun)
