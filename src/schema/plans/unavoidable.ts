// What of a plan's cost no plan avoids: line by line, beer by beer, and together.
import { MOST_BEERS_NAMED, MOST_LINES_NAMED, type UnavoidableCost } from '../../resolvers/plans/unavoidable-cost.ts'
import { builder } from '../builder.ts'
import { rowType } from '../row-type.ts'

const UnavoidableLineType = builder.objectRef<UnavoidableCost['lines'][number]>('UnavoidableLine').implement({
  description: 'An order line that costs something in every plan, whatever is done without for it.',
  fields: (t) => ({
    orderLine: t.field({
      type: rowType('OrderLine'),
      nullable: true,
      description: 'The order line. Absent: it is no longer there.',
      resolve: ({ orderLineId }, _args, { rows }) => rows.orderLine.load(orderLineId),
    }),
    cost: t.exposeFloat('cost', {
      description: 'What its lateness costs at least, or its litres that are not served.',
    }),
    daysLate: t.exposeInt('daysLate', {
      nullable: true,
      description: 'Days that it is late at least. Absent: no way serves it, or none at less than leaving it unserved.',
    }),
  }),
})

const UnavoidableBeerType = builder.objectRef<UnavoidableCost['beers'][number]>('UnavoidableBeer').implement({
  description:
    'What every plan pays for a beer, proven as if the brewery had no other: `lines`, `left` and `rest` add up to `cost`.',
  fields: (t) => ({
    beer: t.field({
      type: rowType('Beer'),
      nullable: true,
      description: 'The beer. Absent: it is no longer there.',
      resolve: ({ beerId }, _args, { rows }) => rows.beer.load(beerId),
    }),
    cost: t.exposeFloat('cost', { description: 'What every plan pays for it at least.' }),
    lines: t.exposeFloat('lines', { description: 'Of this, lateness and unserved litres of its lines, each alone.' }),
    left: t.exposeFloat('left', {
      description: 'Of this, beer that is there today and that no line asks for, or that may not be used.',
    }),
    rest: t.float({
      description: 'Of this, what its lines cost beside each other, and brewing, filling, drops and standing.',
      resolve: ({ cost, lines, left }) => Math.max(0, cost - lines - left),
    }),
  }),
})

/** What explains the lower bound of a plan. */
export const UnavoidableCostType = builder.objectRef<UnavoidableCost>('UnavoidableCost').implement({
  description:
    "A plan's cost in parts: `ofBeers` and `together` are its lower bound, which no plan avoids; `open` may be saved, or not.",
  fields: (t) => ({
    lines: t.field({
      type: [UnavoidableLineType],
      description: `Lines that cost something in every plan, the dearest first; at most ${MOST_LINES_NAMED}.`,
      resolve: ({ lines }) => lines,
    }),
    beers: t.field({
      type: [UnavoidableBeerType],
      description: `What every plan pays for each beer, the dearest first; at most ${MOST_BEERS_NAMED}.`,
      resolve: ({ beers }) => beers,
    }),
    ofBeers: t.exposeFloat('ofBeers', { description: 'The sum over all beers, the costs of lines included.' }),
    together: t.exposeFloat('together', {
      description: 'What the lower bound has beyond that: beers share vessels, fillers, containers and routes.',
    }),
    open: t.exposeFloat('open', { description: 'What is not proven: no one knows whether another plan saves it.' }),
  }),
})
