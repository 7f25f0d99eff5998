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
    description:
      'Which lots; at most 100. Absent: what is on the road for the line; what was called back arrives only where it is named.',
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
    description:
      'Containers were refused at the door, or called back on the road: they return to their lot. What was called back was settled by the recall: `again` says nothing of it.',
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
  recalled: {
    mutation: 'recordRecall',
    description:
      'Containers of lots that are on the road for an order line or at its account were called back. They stay where they are until they are said to have come back: from the road by `recordRefusal`, from the account by `recordReturn`.',
    fields: {
      orderLine,
      lots: {
        type: [LotShare],
        needed: true,
        description:
          'Which lots, at most 100, and how many of each: no more than are on the road and at the account and were not called back before. Those on the road are taken first.',
      },
      again: {
        type: 'Boolean',
        needed: true,
        description:
          'Whether as many are sent again: promised still, and at risk until a plan serves them; false: closed.',
      },
      why,
    },
  },
} as const satisfies Record<string, FactWords>
