// Packs: one beer in one container with one treatment, which is what accounts order.
import { z } from 'zod'
import { issue } from '../../errors.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { onSheets, planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { NOT_SET_UP, noteSheetFaults, sheetFieldsOf } from './pack-sheet-fields.ts'
import { externalRef, name } from './shapes.ts'

const shape = z.strictObject({
  externalRef,
  name,
  beer: thingRef,
  containerType: thingRef,
  drawFrom: planned.pack.drawFrom,
  conditioningDays: planned.pack.conditioningDays,
  conditionIn: planned.pack.conditionIn,
  settleDays: planned.pack.settleDays,
  shelfLifeDays: planned.pack.shelfLifeDays,
  primed: planned.pack.primed,
  primingWindowDays: planned.pack.primingWindowDays,
  ...onSheets.pack,
})

const noun: Noun<typeof shape> = {
  kind: 'Pack',
  key: 'pack',
  shape,
  fixed: ['beer', 'containerType'],
  describe: async (tx, key) => {
    const row = await tx.pack.findUniqueOrThrow({
      where: { distributorId_id: key },
      omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true },
    })
    const { beerId, containerTypeId, externalRef, primingWindowDays } = row
    const { name, drawFrom, conditioningDays, conditionIn, settleDays, shelfLifeDays, primed } = row
    return {
      ...{ name, drawFrom, conditioningDays, conditionIn, settleDays, shelfLifeDays, primed },
      ...sheetFieldsOf(row),
      beer: { id: encodeGlobalId('Beer', beerId) },
      containerType: { id: encodeGlobalId('ContainerType', containerTypeId) },
      externalRef: externalRef ?? undefined,
      primingWindowDays: primingWindowDays ?? undefined,
    }
  },
  save: async ({ tx, refs, isNew }, key, { beer, containerType, ...given }) => {
    const beerId = await refs.id('Beer', beer, 'beer', { retired: !isNew })
    const containerTypeId = await refs.id('ContainerType', containerType, 'containerType', { retired: !isNew })
    const young = given.conditioningDays + given.settleDays
    if (given.shelfLifeDays < young)
      refs.noteBeside(
        ['conditioningDays', 'settleDays'],
        issue(
          'shelfLifeDays',
          'OUT_OF_RANGE',
          `is ${given.shelfLifeDays}; conditioning and settling alone take ${young} days (B3, B1, B4)`,
        ),
      )
    noteSheetFaults(refs, given)
    refs.settle()
    const data = {
      ...NOT_SET_UP,
      ...given,
      beerId,
      containerTypeId,
      externalRef: given.externalRef ?? null,
    }
    await tx.pack.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.pack.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const { create: createPack, change: changePack, retire: retirePack } = useCasesOf(noun)
