// What else could be had where the answer is no, or late.

import { MOST_LINES } from '../resolvers/orders/shapes.ts'
import { type Alternative as Found, MOST_ALTERNATIVES } from '../resolvers/promise/alternatives.ts'
import { OFFER_HOURS } from '../resolvers/promise/offer-token.ts'
import { builder } from './builder.ts'
import { PromiseLine } from './promise-line.ts'

export { MOST_ALTERNATIVES }

const AlternativeKind = builder.enumType('AlternativeKind', {
  description: 'How an alternative differs from what was asked for.',
  values: {
    OTHER_CONTAINERS: { description: 'The same beer on the wanted day, in other containers that hold as much.' },
    TWO_DELIVERIES: { description: 'The same, where a late line may come in two deliveries (A3); all of it sooner.' },
    FEWER_NOW: { description: 'As many as can be on the wanted day, and the rest as early as can be.' },
    FEWER: { description: 'Fewer, on the wanted day; the rest cannot be had within the horizon (T5).' },
    EARLIER_DAY: { description: 'All of it on the nearest earlier day.' },
    LATER_DAY: { description: 'All of it on the nearest later day.' },
    SIMILAR_BEER: { description: 'Another beer of the same style in the same containers, on the wanted day.' },
  },
})

export const Alternative = builder.objectRef<Found>('PromiseAlternative').implement({
  description:
    'Something else that could be had; placed like the question itself, so that it can be had as it is shown.',
  fields: (t) => ({
    kind: t.expose('kind', { type: AlternativeKind, description: 'How it differs from what was asked for.' }),
    message: t.exposeString('message', { description: 'What it is, in plain words.' }),
    serveOn: t.expose('serveOn', { type: 'LocalDate', description: 'The day by which all of it is served.' }),
    lines: t.field({
      type: [PromiseLine],
      description: `What would be ordered and how it is served; at most ${MOST_LINES}.`,
      resolve: ({ lines }) => lines,
    }),
    offerToken: t.exposeString('offerToken', {
      description: `For ordering or reserving just this, for ${OFFER_HOURS} hours: give it as it is.`,
    }),
  }),
})
