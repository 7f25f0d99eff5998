// Stock lots that stand at a site now, entered as they are found: for a house that starts with beer in its store.
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { Conflict, issue } from '../../errors.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, name } from './shapes.ts'

const shape = z.strictObject({
  externalRef,
  code: name,
  site: thingRef,
  pack: thingRef,
  batch: thingRef.optional(),
  quantity: planned.lot.quantity,
  filledOn: planned.lot.filledOn,
  readyOn: planned.lot.readyOn,
  bestBefore: planned.lot.bestBefore,
})

const noun: Noun<typeof shape> = {
  kind: 'StockLot',
  key: 'stockLot',
  shape,
  fixed: ['site', 'pack'],
  saidByFacts: {
    batch: 'correct the fact `filled`',
    quantity: 'record `lotCounted`',
    filledOn: 'correct the fact `filled`',
    readyOn: 'correct the fact `filled`',
    bestBefore: 'correct the fact `filled`',
  },
  describe: async (tx, key) => {
    const row = await tx.stockLot.findUniqueOrThrow({ where: { distributorId_id: key } })
    return {
      externalRef: row.externalRef ?? undefined,
      code: row.code,
      site: { id: encodeGlobalId('Site', row.siteId) },
      pack: { id: encodeGlobalId('Pack', row.packId) },
      batch: row.batchId === null ? undefined : { id: encodeGlobalId('Batch', row.batchId) },
      quantity: row.quantity,
      filledOn: dayOf(row.filledOn),
      readyOn: dayOf(row.readyOn),
      bestBefore: dayOf(row.bestBefore),
    }
  },
  save: async ({ tx, refs, clock }, key, { site, pack, batch, filledOn, readyOn, bestBefore, ...given }) => {
    const { distributorId } = key
    // Beer that stands there is a fact, whether or not the site or the pack was retired since.
    const siteId = await refs.id('Site', site, 'site', { retired: true })
    const packId = await refs.id('Pack', pack, 'pack', { retired: true })
    const batchId = batch ? await refs.id('Batch', batch, 'batch') : null
    const place = await tx.site.findUnique({ where: { distributorId_id: { distributorId, id: siteId } } })
    const today = place && todayIn(clock, place.timeZone)
    if (today && filledOn > today)
      refs.note(issue('filledOn', 'FACT_IN_FUTURE', `${filledOn} is after today, ${today}`))
    if (readyOn < filledOn)
      refs.noteBeside(
        ['filledOn'],
        issue('readyOn', 'LOT_DATES_REVERSED', `ready on ${readyOn}, filled on ${filledOn}`),
      )
    if (bestBefore < filledOn)
      refs.noteBeside(
        ['filledOn'],
        issue('bestBefore', 'LOT_DATES_REVERSED', `best before ${bestBefore}, filled on ${filledOn}`),
      )
    else if (bestBefore < readyOn && readyOn >= filledOn)
      refs.noteBeside(
        ['readyOn'],
        issue('bestBefore', 'LOT_DATES_REVERSED', `best before ${bestBefore}, ready only on ${readyOn}`),
      )
    if (batchId) {
      const beerOf = { select: { beerId: true } } as const
      const [of, from] = await Promise.all([
        tx.pack.findUnique({ where: { distributorId_id: { distributorId, id: packId } }, ...beerOf }),
        tx.batch.findUnique({ where: { distributorId_id: { distributorId, id: batchId } }, ...beerOf }),
      ])
      if (of && from && of.beerId !== from.beerId)
        refs.noteBeside(['pack'], issue('batch', 'BATCH_OF_OTHER_BEER', 'the batch is of another beer than the pack'))
    }
    const namesake = await tx.stockLot.findFirst({ where: { distributorId, code: given.code, id: { not: key.id } } })
    if (namesake) refs.refuse('code', new Conflict('CODE_TAKEN', `code: another lot has the code "${given.code}".`))
    refs.settle()
    const data = {
      ...given,
      externalRef: given.externalRef ?? null,
      siteId,
      packId,
      batchId,
      filledOn: dateOf(filledOn),
      readyOn: dateOf(readyOn),
      bestBefore: dateOf(bestBefore),
    }
    await tx.stockLot.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
  },
}

export const { create: createStockLot, enter: enterStockLot, change: changeStockLot } = useCasesOf(noun)
