// What people of the floor say of facts: that one was otherwise or did not happen, and that what was assumed is so.
import { confirmFacts } from '../../resolvers/floor/confirm-facts.ts'
import { correctFact } from '../../resolvers/floor/correct-fact.ts'
import { MOST_FACTS } from '../../resolvers/floor/record-facts.ts'
import { nameOfKey } from '../../resolvers/floor/said-by.ts'
import { builder } from '../builder.ts'
import { WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { FactInput } from './fact-inputs.ts'
import { FactsPayload } from './fact-payload.ts'

const CorrectFactInput = builder.inputType('CorrectFactInput', {
  description: 'A fact that was otherwise, or did not happen: exactly one of `replace` and `withdraw`.',
  fields: (t) => ({
    fact: t.id({
      required: true,
      description: 'The fact that was recorded first; a correction cannot be corrected, the newest one counts.',
    }),
    replace: t.field({
      type: FactInput,
      description:
        'What happened instead, whole: what it leaves out of a brew, a fill or a dispatch stays as the fact had it.',
    }),
    withdraw: t.boolean({ description: 'True: it did not happen. Absent: false.' }),
  }),
})

const ConfirmFactsInput = builder.inputType('ConfirmFactsInput', {
  description: 'Which assumed facts happened as assumed: those that are named, or all of a day at a site.',
  fields: (t) => ({
    facts: t.idList({ description: `The facts; 1 to ${MOST_FACTS}, so at most ${MOST_FACTS}. Not beside a day.` }),
    on: t.field({
      type: 'LocalDate',
      description: `The day, with its \`site\`: the first ${MOST_FACTS} of it that are assumed.`,
    }),
    site: t.field({ type: ThingRefInput, description: 'The site of the day.' }),
  }),
})

builder.mutationFields((t) => ({
  correctFact: t.field({
    ...needs(
      'floor:write',
      'Replaces or withdraws a fact. What it moved is taken back and moved anew on its own day, or on the first open day where that period is closed; later facts stand; the plan in force is repaired in the same step.',
    ),
    type: FactsPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: CorrectFactInput, required: true, description: 'The correction.' }) },
    resolve: async (_root, { input }, { planning, client, caller }) =>
      correctFact(planning, input, await nameOfKey(client, caller)),
  }),
  confirmFacts: t.field({
    ...needs('floor:write', 'Says that assumed facts happened as assumed: each is recorded as said by your key.'),
    type: FactsPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: ConfirmFactsInput, required: true, description: 'Which facts.' }) },
    resolve: async (_root, { input }, { planning, client, caller }) =>
      confirmFacts(planning, input, await nameOfKey(client, caller)),
  }),
}))
