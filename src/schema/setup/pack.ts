// Packs: their type, look-up, list and set-up mutations.
import { changePack, createPack, retirePack } from '../../resolvers/setup/pack.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { Climate, FiningsPer, SugarKind, VesselKind } from '../words.ts'
import { BY_NAME, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
import { setupInputs } from './setup-inputs.ts'

builder.prismaNode('Pack', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    name: t.exposeString('name'),
    beer: t.relation('beer', { description: 'The beer that is in it.' }),
    containerType: t.relation('containerType', { description: 'The cask or keg that it is in.' }),
    drawFrom: t.expose('drawFrom', { type: VesselKind }),
    conditioningDays: t.exposeInt('conditioningDays'),
    conditionIn: t.expose('conditionIn', { type: Climate }),
    settleDays: t.exposeInt('settleDays'),
    shelfLifeDays: t.exposeInt('shelfLifeDays'),
    primed: t.exposeBoolean('primed'),
    primingWindowDays: t.exposeInt('primingWindowDays', { nullable: true }),
    finingsProduct: t.exposeString('finingsProduct', { nullable: true }),
    finingsMl: t.exposeFloat('finingsMl', { nullable: true }),
    finingsPer: t.expose('finingsPer', { type: FiningsPer, nullable: true }),
    sugar: t.expose('sugar', { type: SugarKind, nullable: true }),
    targetCarbonation: t.exposeFloat('targetCarbonation', { nullable: true }),
    leastCarbonation: t.exposeFloat('leastCarbonation', { nullable: true }),
    mostCarbonation: t.exposeFloat('mostCarbonation', { nullable: true }),
    hopsPerLitre: t.exposeFloat('hopsPerLitre', { nullable: true }),
    purged: t.exposeBoolean('purged', { nullable: true }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  pack: t.prismaField({ type: 'Pack', ...lookUp('Pack', ({ client }, found) => client.pack.findUnique(found)) }),
  packs: t.prismaConnection(
    {
      type: 'Pack',
      cursor: 'distributorId_id',
      ...listOf('packs', {
        filter: SetupFilter,
        where: setupWhere,
        order: BY_NAME,
        read: ({ client }, page) => client.pack.findMany(page),
        count: ({ client }, where) => client.pack.count({ where }),
      }),
    },
    ...pages('Pack', 'packs'),
  ),
}))

setupMutations({
  kind: 'Pack',
  payload: payloadOf('Pack', (t) =>
    t.prismaField({ type: 'Pack', ...written('Pack', ({ client }, found) => client.pack.findUniqueOrThrow(found)) }),
  ),
  ...setupInputs('Pack', {
    externalRef: { type: 'String' },
    name: { type: 'String', needed: true },
    beer: { type: ThingRefInput, needed: true, fixed: true, description: 'The beer that is in it.' },
    containerType: { type: ThingRefInput, needed: true, fixed: true, description: 'The cask or keg that it is in.' },
    drawFrom: { type: VesselKind, needed: true },
    conditioningDays: { type: 'Int', needed: true },
    conditionIn: { type: Climate },
    settleDays: { type: 'Int', needed: true },
    shelfLifeDays: { type: 'Int', needed: true },
    primed: { type: 'Boolean' },
    primingWindowDays: { type: 'Int' },
    finingsProduct: { type: 'String' },
    finingsMl: { type: 'Float' },
    finingsPer: { type: FiningsPer },
    sugar: { type: SugarKind },
    targetCarbonation: { type: 'Float' },
    leastCarbonation: { type: 'Float' },
    mostCarbonation: { type: 'Float' },
    hopsPerLitre: { type: 'Float' },
    purged: { type: 'Boolean' },
  }),
  useCases: { create: createPack, change: changePack, retire: retirePack },
  retiring: 'It takes no new orders.',
})
