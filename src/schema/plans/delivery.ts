// Deliveries of a plan, and what they take from where; beer that a plan pours away.
import { builder } from '../builder.ts'

/** Most sources that are listed of one delivery. */
const MOST_SOURCES = 500

builder.prismaObject('DeliverySource', {
  fields: (t) => ({
    quantity: t.exposeInt('quantity'),
    fillRun: t.relation('fillRun', {
      nullable: true,
      description: 'The fill run that it takes from. Absent: stock.',
    }),
    stockLot: t.relation('stockLot', {
      nullable: true,
      description: 'The stock lot that it takes from. Absent: a fill run.',
    }),
  }),
})

builder.prismaObject('Delivery', {
  authScopes: { scope: 'plan:read' },
  fields: (t) => ({
    n: t.exposeInt('n'),
    orderLine: t.relation('orderLine', { description: 'The order line that it serves.' }),
    route: t.relation('route', { description: 'The route that it leaves on (B2).' }),
    dispatchOn: t.expose('dispatchOn', { type: 'LocalDate' }),
    serveOn: t.expose('serveOn', { type: 'LocalDate' }),
    quantity: t.int({
      description: 'Whole containers of all its sources.',
      select: { from: { select: { quantity: true } } },
      resolve: ({ from }) => from.reduce((sum, { quantity }) => sum + quantity, 0),
    }),
    sources: t.relation('from', {
      description: `What it takes from where (A1); at most ${MOST_SOURCES}.`,
      query: { orderBy: { n: 'asc' }, take: MOST_SOURCES },
    }),
  }),
})

builder.prismaObject('Dump', {
  authScopes: { scope: 'plan:read' },
  fields: (t) => ({
    batch: t.relation('batch', { nullable: true, description: 'The existing batch. Absent: a planned brew.' }),
    brew: t.relation('brew', { nullable: true, description: 'The planned brew. Absent: an existing batch.' }),
    on: t.expose('on', { type: 'LocalDate' }),
    litres: t.exposeFloat('litres'),
  }),
})
