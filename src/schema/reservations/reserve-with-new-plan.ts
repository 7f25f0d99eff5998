// The mutation that takes up the offer of a new plan: it comes into force, and the beer is reserved in it.
import { type ReservedWithNewPlan, reserveWithNewPlan } from '../../resolvers/reservations/reserve-with-new-plan.ts'
import { builder } from '../builder.ts'
import { PLAN_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { revisionField, rowKey } from '../setup/setup.ts'
import { recorded } from '../setup/setup-inputs.ts'
import { MINUTES } from './reservation.ts'

const Payload = builder.objectRef<ReservedWithNewPlan>('NewPlanReservationPayload').implement({
  description: 'A reservation, and the new plan that serves it and is in force.',
  fields: (t) => ({
    revision: revisionField(t),
    reservation: t.prismaField({
      type: 'Reservation',
      description: 'The reservation.',
      resolve: (query, { id }, _args, context) =>
        context.client.reservation.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
    }),
    plan: t.prismaField({
      type: 'Plan',
      nullable: true,
      description: 'The plan that is in force now; its `against` says what it decides otherwise.',
      resolve: (query, { planId }, _args, context) =>
        context.client.plan.findUnique({ ...query, where: rowKey(context, planId) }),
    }),
  }),
})

const Input = builder.inputType('ReserveWithNewPlanInput', {
  description: 'The offer of a new plan to take up.',
  fields: (t) => ({
    offerToken: t.string({
      required: true,
      description:
        'The offer, as `newPlan { alternative { offerToken } }` has it: by the wanted days, or not at all. Once: `OFFER_USED` then says by `takenBy` what it became.',
    }),
    minutes: t.int({ description: MINUTES }),
    externalRef: t.string({ description: recorded('Reservation', 'externalRef') }),
    note: t.string({ description: recorded('Reservation', 'note') }),
  }),
})

builder.mutationField('reserveWithNewPlan', (t) =>
  t.field({
    ...needs(
      'orders:write',
      'Puts the new plan of an offer in force and reserves the beer in it, both or neither. It needs no `plan:write`: like every reservation it changes the plan in force only so that no other line is served later; it chooses no prices, accepts no broken promise, and changes nothing that is frozen or fixed (F1) or leaves today, which is how planners keep it off what must stay. What others did since it was found is placed into it; where that is in the way it is refused: the `changes` of the Conflict say what they did, its `obstacles` what of it is in the way.',
    ),
    type: Payload,
    errors: PLAN_ERRORS,
    args: { input: t.arg({ type: Input, required: true, description: 'The offer.' }) },
    resolve: (_root, { input }, { planning }) => reserveWithNewPlan(planning, input),
  }),
)
