// Stores: room for filled containers at a site, cold or warm.
import { z } from 'zod'
import { issue } from '../../errors.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, name } from './shapes.ts'

const shape = z.strictObject({
  externalRef,
  name,
  site: thingRef,
  climate: planned.store.climate,
  capacityLitres: planned.store.capacityLitres,
})

const noun: Noun<typeof shape> = {
  kind: 'Store',
  key: 'store',
  shape,
  fixed: ['site', 'climate'],
  describe: async (tx, key) => {
    const { siteId, externalRef, ...row } = await tx.store.findUniqueOrThrow({
      where: { distributorId_id: key },
      omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true },
    })
    return { ...row, site: { id: encodeGlobalId('Site', siteId) }, externalRef: externalRef ?? undefined }
  },
  save: async ({ tx, refs, isNew }, key, { site, ...given }) => {
    const { distributorId } = key
    const siteId = await refs.id('Site', site, 'site', { retired: !isNew })
    const other = await tx.store.findFirst({
      where: { distributorId, siteId, climate: given.climate, id: { not: key.id } },
    })
    if (other)
      refs.noteBeside(['site'], issue('climate', 'DUPLICATE_STORE', `the site has a ${given.climate} store already`))
    refs.settle()
    const data = { ...given, siteId, externalRef: given.externalRef ?? null }
    await tx.store.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.store.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const { create: createStore, change: changeStore, retire: retireStore } = useCasesOf(noun)
