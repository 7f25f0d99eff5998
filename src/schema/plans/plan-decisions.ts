// What a plan decides in the cellar: brews, transfers and fill runs. Each has an id of its own and can be fixed (F1).
import { decisionId, decisionKeyOf } from '../../resolvers/plans/plan-ref.ts'
import { inUnit } from '../../sheets/volumes.ts'
import { builder } from '../builder.ts'
import type { Context } from '../context.ts'
import { unitArg } from '../setup/volume.ts'

/** Where a decision's row is found; a text that is no decision's id finds nothing. */
function decisionRow({ distributorId }: Context, text: string) {
  const key = decisionKeyOf(text) ?? { planId: '', id: text }
  return { distributorId_planId_id: { distributorId, ...key } }
}

builder.prismaNode('PlannedBrew', {
  authScopes: { scope: 'plan:read' },
  id: { resolve: decisionId },
  findUnique: (id, context) => decisionRow(context, id),
  fields: (t) => ({
    name: t.exposeString('id', { description: 'Its name within the plan; the batch that it becomes has it too.' }),
    beer: t.relation('beer', { description: 'The beer.' }),
    vessel: t.relation('vessel', { description: 'The fermenter that it goes into.' }),
    brewOn: t.expose('brewOn', { type: 'LocalDate' }),
    litres: t.exposeFloat('litres'),
    volume: t.float({
      description: 'Volume brewed, yeast and trub included (V2), in the unit asked for.',
      args: { unit: unitArg(t) },
      resolve: ({ litres }, { unit }) => inUnit(litres, unit),
    }),
    fixed: t.exposeBoolean('fixed'),
  }),
})

builder.prismaNode('PlannedTransfer', {
  authScopes: { scope: 'plan:read' },
  id: { resolve: decisionId },
  findUnique: (id, context) => decisionRow(context, id),
  fields: (t) => ({
    batch: t.relation('batch', { nullable: true, description: 'The existing batch that it moves. Absent: a brew.' }),
    brew: t.relation('brew', { nullable: true, description: 'The planned brew that it moves. Absent: a batch.' }),
    toVessel: t.relation('toVessel', { description: 'The bright vessel that it goes into (V6).' }),
    on: t.expose('on', { type: 'LocalDate' }),
    litres: t.exposeFloat('litres'),
    volume: t.float({
      description: 'Volume moved (V6), in the unit asked for.',
      args: { unit: unitArg(t) },
      resolve: ({ litres }, { unit }) => inUnit(litres, unit),
    }),
    fixed: t.exposeBoolean('fixed'),
  }),
})

builder.prismaNode('FillRun', {
  authScopes: { scope: 'plan:read' },
  id: { resolve: decisionId },
  findUnique: (id, context) => decisionRow(context, id),
  fields: (t) => ({
    batch: t.relation('batch', {
      nullable: true,
      description: 'The existing batch that it draws from. Absent: a brew.',
    }),
    brew: t.relation('brew', { nullable: true, description: 'The planned brew that it draws from. Absent: a batch.' }),
    filler: t.relation('filler', { description: 'The filler that fills it (L1).' }),
    pack: t.relation('pack', { description: 'The pack that it fills.' }),
    on: t.expose('on', { type: 'LocalDate' }),
    quantity: t.exposeInt('quantity'),
    lotCode: t.string({
      description:
        'The code of the lot that it makes, where it is filled on its day: site, day, batch and pack, sequence, and a check character (ISO/IEC 7064 MOD 37,36).',
      resolve: (run, _args, { rows }) => rows.lotCodes.load(run),
    }),
    fixed: t.exposeBoolean('fixed'),
  }),
})
