// Container types: sizes of cask and keg.
import { z } from 'zod'
import { onSheets, planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, name } from './shapes.ts'

const shape = z.strictObject({
  externalRef,
  name,
  kind: planned.containerType.kind,
  nominalLitres: planned.containerType.nominalLitres,
  overfillFraction: planned.containerType.overfillFraction,
  ...onSheets.containerType,
})

const noun: Noun<typeof shape> = {
  kind: 'ContainerType',
  key: 'containerType',
  shape,
  fixed: ['kind'],
  describe: async (tx, key) => {
    const { externalRef, tareKg, pressureBar, ...row } = await tx.containerType.findUniqueOrThrow({
      where: { distributorId_id: key },
      omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true },
    })
    return {
      ...row,
      externalRef: externalRef ?? undefined,
      tareKg: tareKg ?? undefined,
      pressureBar: pressureBar ?? undefined,
    }
  },
  save: async ({ tx, refs }, key, given) => {
    refs.settle()
    const data = {
      ...given,
      externalRef: given.externalRef ?? null,
      tareKg: given.tareKg ?? null,
      pressureBar: given.pressureBar ?? null,
    }
    await tx.containerType.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.containerType.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const {
  create: createContainerType,
  change: changeContainerType,
  retire: retireContainerType,
} = useCasesOf(noun)
