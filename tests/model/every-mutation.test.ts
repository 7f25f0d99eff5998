// Every mutation of the schema is a command of the random sequences, or is named here with why not.
import { expect, test } from 'vitest'
import { FACT_WORDS } from '../../src/schema/floor/fact-inputs.ts'
import { schema } from '../../src/schema/schema.ts'
import { SETUP_MUTATIONS } from './setup-commands.ts'

/** Commands of `commands.ts`, `floor-commands.ts` and `plan-commands.ts`. */
const COMMANDS = [
  ...['placeOrder', 'amendOrder', 'cancelOrder', 'reserveBeer', 'extendReservation', 'releaseReservation'],
  'reserveWithNewPlan',
  ...['recordFacts', 'correctFact', 'confirmFacts'],
  ...['draftPlan', 'draftRecall', 'adoptPlan', 'discardPlan', 'fixInPlan', 'unfixInPlan'],
]

/** What goes the way of the mutations that write one thing each, several in one call. */
const IMPORTS = ['importOrders', 'importAccounts', 'importBeers', 'importStockLots', 'importFleets']

/** What changes nothing that a plan has to follow. */
const WITHOUT = [
  'compare',
  'createApiKey',
  'rotateApiKey',
  'revokeApiKey',
  ...['registerWebhook', 'rotateWebhookSecret', 'enableWebhook', 'removeWebhook', 'testWebhook'],
  'resendWebhookDelivery',
]

test('every mutation is a command of the sequences, or changes nothing that a plan has to follow', () => {
  const mutations = Object.keys(schema.getMutationType()?.getFields() ?? {})
  // One fact by a mutation of its own goes the way of several.
  const facts = Object.values(FACT_WORDS).map(({ mutation }) => mutation)
  const covered = new Set([...COMMANDS, ...SETUP_MUTATIONS, ...facts, ...IMPORTS, ...WITHOUT])
  expect(mutations.filter((name) => !covered.has(name))).toEqual([])
  expect([...covered].filter((name) => !mutations.includes(name))).toEqual([])
})
