// Wishes that give way: lines without a promise that are served otherwise so that other lines can be promised.
import { MOST_WISHES, type OrderAnswer } from '../../resolvers/orders/order-answer.ts'
import { builder } from '../builder.ts'
import { rowType } from '../row-type.ts'

/** What lists of them say of their length. */
export const AT_MOST_WISHES = `at most ${MOST_WISHES}`

export const GaveWay = builder.objectRef<OrderAnswer['gaveWay'][number]>('GaveWay').implement({
  description: 'A line without a promise that gives way: it is served later, or not wholly.',
  fields: (t) => ({
    line: t.field({
      type: rowType('OrderLine'),
      nullable: true,
      description: 'The line, as the records have it.',
      resolve: ({ orderLineId }, _args, { rows }) => rows.orderLine.load(orderLineId),
    }),
    servedBefore: t.int({
      description: 'Whole containers that the plan in force served before.',
      resolve: ({ before }) => before.served,
    }),
    served: t.int({
      description: 'Whole containers that the plan serves with the change.',
      resolve: ({ after }) => after.served,
    }),
    expectedBefore: t.field({
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which the plan in force served the last of it before.',
      resolve: ({ before }) => before.serveOn,
    }),
    expectedOn: t.field({
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which the plan serves the last of it with the change. Absent: it serves nothing.',
      resolve: ({ after }) => after.serveOn,
    }),
  }),
})
