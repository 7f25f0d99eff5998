// What the API says about facts of travel.
import { builder } from '../builder.ts'
import type { InputField } from '../setup/setup-inputs.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { type FactWords, why } from './fact-words.ts'

const LotShare = builder.inputType('LotQuantityInput', {
  description: 'So many containers of one lot.',
  fields: (t) => ({
    lot: t.field({ type: ThingRefInput, required: true, description: 'The stock lot.' }),
    quantity: t.int({ required: true, description: 'Whole containers, 1 or more.' }),
  }),
})

const orderLine = { type: ThingRefInput, needed: true, description: 'The order line.' }
const arrival: Record<string, InputField> = {
  orderLine,
  lots: {
    type: [LotShare],
    description: 'Which lots; at most 100. Absent: what is on the road for the line.',
  },
  quantity: {
    type: 'Int',
    description: 'Whole containers, 1 or more, of what is on the road. Absent: all of it. Not beside `lots`.',
  },
}

export const TRAVEL_WORDS = {
  dispatched: {
    mutation: 'recordDispatch',
    description:
      'Containers of lots, planned or not, left for an order line (D1). What is short stays promised for its day, and at risk. A dispatch whose fill was not said implies the fill as planned, with a warning.',
    fields: {
      orderLine,
      lots: { type: [LotShare], description: 'Which lots; at most 100. Absent: as planned.' },
      route: { type: ThingRefInput, description: 'The route. Absent: as planned.' },
    },
  },
  delivered: {
    mutation: 'recordDelivery',
    description:
      'Containers arrived at the account of an order line; delivered over dispatched over filled: what was not said before it is taken as planned.',
    fields: arrival,
  },
  refused: {
    mutation: 'recordRefusal',
    description: 'Containers were refused at the door: they return to their lot.',
    fields: {
      ...arrival,
      fit: { type: 'Boolean', needed: true, description: 'Whether the beer is fit; false: its lot is kept back (V8).' },
      again: {
        type: 'Boolean',
        needed: true,
        description: 'Whether it is sent again: still promised, and at risk; false: closed.',
      },
      why,
    },
  },
} as const satisfies Record<string, FactWords>
