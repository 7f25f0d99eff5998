// What recording facts answers: the facts, what moved in the plan in force, and who must hear of a promise at risk.

import { MOST_FACTS, type Recorded } from '../../resolvers/floor/record-facts.ts'
import { builder } from '../builder.ts'
import { repairFields } from '../plans/repair-fields.ts'
import { rowType } from '../row-type.ts'

export const FactsPayload = builder.objectRef<Recorded>('FactsPayload').implement({
  description: 'Facts that were recorded, and the plan in force that was repaired with them.',
  fields: (t) => ({
    revision: t.exposeInt('revision', { description: "The distributor's revision since the write." }),
    facts: t.field({
      type: [rowType('Fact')],
      description: `The facts in the order of the input, at most ${MOST_FACTS}; one that was said before under the same reference is the first one.`,
      resolve: async ({ ids }, _args, { rows }) => {
        const found = await Promise.all(ids.map((id) => rows.fact.load(id)))
        return found.flatMap((fact) => (fact === null ? [] : [fact]))
      },
    }),
    ...repairFields(t),
  }),
})
