// The inputs by which people say what happened: one for each kind of fact, made from one list.
import type { InputRef } from '@pothos/core'
import { FACT_INPUT_KEYS, type FactInputKey } from '../../resolvers/floor/kinds.ts'
import { MOST_FACTS } from '../../resolvers/floor/record-facts.ts'
import { builder } from '../builder.ts'
import type { InputField } from '../setup/setup-inputs.ts'
import { BEER_WORDS } from './beer-words.ts'
import { CONTAINER_WORDS } from './container-words.ts'
import type { FactWords } from './fact-words.ts'
import { THING_WORDS } from './thing-words.ts'
import { TRAVEL_WORDS } from './travel-words.ts'

/** The words of every kind, by what the input calls it. */
export const FACT_WORDS: Record<FactInputKey, FactWords> = {
  ...BEER_WORDS,
  ...CONTAINER_WORDS,
  ...TRAVEL_WORDS,
  ...THING_WORDS,
}

/** What every fact may say. */
const COMMON: Record<string, InputField> = {
  on: {
    type: 'LocalDate',
    description:
      "The day on which it happened, in the site's zone; not in the future, and not before the records of the thing begin. Absent: the day of `at`, else that of the fact that it corrects or that was assumed, else today.",
  },
  at: {
    type: 'DateTime',
    description:
      "The instant at which it happened; at most five minutes ahead of the server's clock. Absent: only the day is known.",
  },
  reference: {
    type: 'String',
    description:
      'Your own reference for the fact, 1 to 200 characters: said again with the same content it answers the first result, with other content it is refused (`REFERENCE_USED`). Absent: it has none, and saying it twice records it twice.',
  },
}

/** The input type of each kind. */
export const FACT_INPUT_TYPES: ReadonlyMap<FactInputKey, InputRef<unknown>> = new Map(
  FACT_INPUT_KEYS.map((key) => [key, inputOf(FACT_WORDS[key])]),
)

function inputOf({ mutation, description, fields }: FactWords): InputRef<unknown> {
  return builder.inputType(`${mutation.charAt(0).toUpperCase()}${mutation.slice(1)}Input`, {
    description,
    fields: (t) =>
      Object.fromEntries(
        Object.entries({ ...fields, ...COMMON }).map(([field, { type, needed = false, ...words }]) => [
          field,
          t.field({ type, required: needed, ...words }),
        ]),
      ),
  })
}

export const FactInput = builder.inputType('FactInput', {
  description: 'One thing that happened: exactly one of these.',
  isOneOf: true,
  fields: (t) =>
    Object.fromEntries(
      [...FACT_INPUT_TYPES].map(([key, type]) => [key, t.field({ type, description: FACT_WORDS[key].description })]),
    ),
})

export const RecordFactsInput = builder.inputType('RecordFactsInput', {
  description: 'What happened: a fill day, a van, whatever belongs together.',
  fields: (t) => ({
    facts: t.field({
      type: [FactInput],
      required: true,
      description: `The facts in the order in which they count where they are of one day; 1 to ${MOST_FACTS}, so at most ${MOST_FACTS}. All are recorded or none.`,
    }),
  }),
})
