// How arguments and inputs name a thing, and an order.
import { builder } from './builder.ts'

/** Use-cases parse it (`thingRef` in the resolvers). */
export const ThingRefInput = builder.inputType('ThingRef', {
  description: 'Names one thing: by its id, or by your own reference.',
  isOneOf: true,
  fields: (t) => ({
    id: t.id({ description: 'The id that the API gave it.' }),
    externalRef: t.string({ description: 'Your own reference, unique among things of its kind; 1 to 200 characters.' }),
  }),
})

/** Use-cases parse it (`orderRef` in the resolvers). */
export const OrderRefInput = builder.inputType('OrderRef', {
  description: 'Names one order: by its id, by your own reference, or by its number.',
  isOneOf: true,
  fields: (t) => ({
    id: t.id({ description: 'The id that the API gave it.' }),
    externalRef: t.string({ description: 'Your own reference, unique among orders; 1 to 200 characters.' }),
    number: t.int({ description: 'The number that people read, 1 or more.' }),
  }),
})
