// What can be offered when: for an order form.
import {
  type Availability,
  availability,
  MOST_DAYS,
  MOST_OFFERED,
  MOST_PACKS,
  type OfferedDay,
  type OfferedPack,
} from '../../resolvers/promise/availability.ts'
import { builder } from '../builder.ts'
import { costOfAvailability, ONE_A_CELL } from '../costs.ts'
import { needs } from '../needs.ts'
import { rowType } from '../row-type.ts'
import { ThingRefInput } from '../thing-ref.ts'

const AvailablePack = builder.objectRef<OfferedPack>('AvailablePack').implement({
  description: 'How many of one pack could be promised for a day, on their own.',
  fields: (t) => ({
    pack: t.field({
      type: rowType('Pack'),
      nullable: true,
      description: 'The pack.',
      resolve: ({ packId }, _args, { rows }) => rows.pack.load(packId),
    }),
    quantity: t.exposeInt('quantity', {
      description: `Whole containers: so many are promised in one delivery, one more is not (A3); 1 to ${MOST_OFFERED}.`,
    }),
    capped: t.exposeBoolean('capped', {
      description: `Whether it was not looked further than ${MOST_OFFERED}, so that there may be more.`,
    }),
  }),
})

const AvailableDay = builder.objectRef<OfferedDay>('AvailableDay').implement({
  description: 'What can be offered on one serve day.',
  fields: (t) => ({
    serveOn: t.expose('serveOn', { type: 'LocalDate', description: 'The serve day.' }),
    packs: t.field({
      type: [AvailablePack],
      description: `Packs of which there is something to offer, each on its own; at most ${MOST_PACKS}.`,
      complexity: ONE_A_CELL,
      resolve: ({ packs }) => packs,
    }),
  }),
})

const AvailabilityType = builder.objectRef<Availability>('Availability').implement({
  description: 'What an account can be offered, by serve day and pack. Nothing is moved, written or kept back for it.',
  fields: (t) => ({
    days: t.field({
      type: [AvailableDay],
      description: `Every day of the span, in order; at most ${MOST_DAYS}.`,
      complexity: ONE_A_CELL,
      resolve: ({ days }) => days,
    }),
    revision: t.exposeInt('revision', { description: 'The revision of the records that it was answered from.' }),
  }),
})

builder.queryField('availability', (t) =>
  t.field({
    ...needs(
      'orders:read',
      'What can this account be offered when? Asked of the plan in force, all from one revision.',
    ),
    type: AvailabilityType,
    nullable: true,
    args: {
      account: t.arg({ type: ThingRefInput, required: true, description: 'Who asks; a route must serve it (B2).' }),
      from: t.arg({ type: 'LocalDate', required: true, description: 'The first serve day; today at the earliest.' }),
      to: t.arg({
        type: 'LocalDate',
        required: true,
        description: `The last serve day, within the horizon (T5); at most ${MOST_DAYS} days in all.`,
      }),
      packs: t.arg({
        type: [ThingRefInput],
        description: `Packs to look for; at most ${MOST_PACKS}. Absent: all that are not retired.`,
      }),
    },
    complexity: (args) => costOfAvailability(args, { days: MOST_DAYS, packs: MOST_PACKS }),
    resolve: async (_root, args, context) => availability(await context.askPlanner(), args),
  }),
)
