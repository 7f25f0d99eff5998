// Many things in one call: orders, accounts, beers, stock lots and fleets.
import type { InputRef } from '@pothos/core'
import { InvalidInput, NotPossible, Refusal } from '../../errors.ts'
import { encodeGlobalId } from '../../resolvers/global-id.ts'
import { importOrders } from '../../resolvers/imports/import-orders.ts'
import { importAccounts, importBeers, importFleets, importStockLots } from '../../resolvers/imports/import-setup.ts'
import { type Imported, type ImportResult, MOST_IMPORTED } from '../../resolvers/imports/imported.ts'
import type { PlanningActor } from '../../resolvers/planning-actor.ts'
import type { Scope } from '../../scopes.ts'
import { builder } from '../builder.ts'
import { costOfImport, ONE_A_LINE, usually } from '../costs.ts'
import { IssueType, ReasonType, WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { PlaceOrderInput } from '../orders/order-mutations.ts'
import { createAccountInput } from '../setup/account.ts'
import { createBeerInput } from '../setup/beer.ts'
import { createFleetInput } from '../setup/fleet.ts'
import { createStockLotInput } from '../setup/stock-lot.ts'
import { refusalInWords } from './refusal-words.ts'

const ImportOutcome = builder.enumType('ImportOutcome', {
  description: 'What became of one thing of an import.',
  values: {
    CREATED: { description: 'It is new.' },
    UPDATED: { description: 'It was there, and has changed.' },
    UNCHANGED: { description: 'It was just so already: nothing was written.' },
    REFUSED: { description: 'Nothing of it was written; `errors` says why.' },
  },
})

/** What is thrown elsewhere stands within it: GraphQL takes no error for a value. */
const ImportRefusal = builder.objectRef<{ refusal: Refusal }>('ImportRefusal').implement({
  description: 'Why one thing of an import was not written, as its own mutation would say it.',
  fields: (t) => ({
    code: t.string({
      description: 'A stable code to branch on, such as `UNKNOWN_REFERENCE`.',
      resolve: ({ refusal }) => refusal.code,
    }),
    message: t.string({
      description: 'What is wrong, in a sentence.',
      resolve: ({ refusal }, _args, { rows }) => refusalInWords(refusal, rows),
    }),
    action: t.string({ description: 'What you can do about it.', resolve: ({ refusal }) => refusal.action }),
    issues: t.field({
      type: [IssueType],
      description:
        'All that is wrong with the input, with paths within the thing; at most three for each of its values. Empty: something else is wrong.',
      resolve: ({ refusal }) => (refusal instanceof InvalidInput ? [...refusal.issues] : []),
    }),
    reasons: t.field({
      type: [ReasonType],
      description: 'The planning rules that bind; at most 100. Empty: it is about none.',
      resolve: ({ refusal }) => (refusal instanceof NotPossible ? refusal.reasons.slice(0, 100) : []),
    }),
  }),
})

const Result = builder.objectRef<ImportResult>('ImportResult').implement({
  description: 'What became of one thing of an import.',
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true, description: 'Your reference, as you sent it.' }),
    outcome: t.field({
      type: ImportOutcome,
      description: 'What became of it.',
      resolve: ({ became }) => (became instanceof Refusal ? 'REFUSED' : became.did),
    }),
    entity: t.id({
      nullable: true,
      description: 'The id of the thing: `node` reads it. Absent: it was refused.',
      resolve: ({ kind, became }) => (became instanceof Refusal ? null : encodeGlobalId(kind, became.id)),
    }),
    revision: t.int({
      nullable: true,
      description:
        'The revision that it made, or that the records had where it was just so already. Absent: it was refused.',
      resolve: ({ became }) => (became instanceof Refusal ? null : became.revision),
    }),
    errors: t.field({
      type: [ImportRefusal],
      complexity: usually(1),
      description: 'Why it was refused; at most one.',
      resolve: ({ became }) => (became instanceof Refusal ? [{ refusal: became }] : []),
    }),
  }),
})

const Payload = builder.objectRef<Imported>('ImportPayload').implement({
  description: 'What became of the things of an import.',
  fields: (t) => ({
    revision: t.exposeInt('revision', { description: "The distributor's revision since." }),
    results: t.field({
      type: [Result],
      complexity: ONE_A_LINE,
      description: `One for each thing, in their order; at most ${MOST_IMPORTED}.`,
      resolve: ({ results }) => results,
    }),
  }),
})

interface Import {
  /** The mutation, and the list of its input. */
  field: string
  list: string
  scope: Scope
  /** What is imported, in words. */
  words: string
  input: InputRef<unknown>
  run: (actor: PlanningActor, input: unknown) => Promise<Imported>
}

function register({ field, list, scope, words, input, run }: Import): void {
  const inputType = builder.inputType(`${field.charAt(0).toUpperCase()}${field.slice(1)}Input`, {
    description: `${words.charAt(0).toUpperCase()}${words.slice(1)} to write.`,
    fields: (t) => ({
      [list]: t.field({
        type: [input],
        required: true,
        description: `The ${words}; at least one and at most ${MOST_IMPORTED}. Where \`upsert\` is absent it is true.`,
      }),
    }),
  })
  const description = `Writes ${words}, each whole or not at all and in their order, by your references: what is there is changed, or left where it is just so, so that the same call can be sent again. Requests of others get their turn between them. The request has at most 256 KiB.`
  builder.mutationField(field, (t) =>
    t.field({
      ...needs(scope, description),
      type: Payload,
      errors: WRITE_ERRORS,
      complexity: costOfImport,
      args: { input: t.arg({ type: inputType, required: true, description: 'What to write.' }) },
      resolve: (_root, { input: given }, { planning }) => run(planning, given),
    }),
  )
}

const ofSetup = { scope: 'setup:write' as const }
register({
  ...{ field: 'importOrders', list: 'orders', scope: 'orders:write', words: 'orders' },
  ...{ input: PlaceOrderInput, run: importOrders },
})
register({
  ...{ ...ofSetup, field: 'importAccounts', list: 'accounts', words: 'accounts' },
  ...{ input: createAccountInput, run: importAccounts },
})
register({
  ...{ ...ofSetup, field: 'importBeers', list: 'beers', words: 'beers' },
  ...{ input: createBeerInput, run: importBeers },
})
register({
  ...{ ...ofSetup, field: 'importStockLots', list: 'stockLots', words: 'stock lots' },
  ...{ input: createStockLotInput, run: importStockLots },
})
register({
  ...{ ...ofSetup, field: 'importFleets', list: 'fleets', words: 'fleets with their counts of clean containers' },
  ...{ input: createFleetInput, run: importFleets },
})
