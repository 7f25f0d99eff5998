// What people of the floor say: several facts at once, or one by a mutation of its kind. All go the same way.
import { recordFacts } from '../../resolvers/floor/record-facts.ts'
import { recordOneFact } from '../../resolvers/floor/record-one-fact.ts'
import { nameOfKey } from '../../resolvers/floor/said-by.ts'
import { builder } from '../builder.ts'
import { WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { FACT_INPUT_TYPES, FACT_WORDS, RecordFactsInput } from './fact-inputs.ts'
import { FactsPayload } from './fact-payload.ts'

builder.mutationField('recordFacts', (t) =>
  t.field({
    ...needs(
      'floor:write',
      'Records what happened, all of it or nothing, and repairs the plan in force in the same step with the least movement: promises first, then reservations, then wishes.',
    ),
    type: FactsPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: RecordFactsInput, required: true, description: 'What happened.' }) },
    resolve: async (_root, { input }, { planning, client, caller }) =>
      recordFacts(planning, input, await nameOfKey(client, caller)),
  }),
)

for (const [key, type] of FACT_INPUT_TYPES)
  builder.mutationField(FACT_WORDS[key].mutation, (t) =>
    t.field({
      ...needs('floor:write', `${FACT_WORDS[key].description} As \`recordFacts\` with one \`${key}\`.`),
      type: FactsPayload,
      errors: WRITE_ERRORS,
      args: { input: t.arg({ type, required: true, description: 'What happened.' }) },
      resolve: async (_root, { input }, { planning, client, caller }) =>
        recordOneFact(planning, key, input, await nameOfKey(client, caller)),
    }),
  )
