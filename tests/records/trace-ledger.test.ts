// The ledger in the database, as traces read it: after days and corrections it answers what a ledger in memory with the same
// entries answers.
import { beforeAll, expect, test } from 'vitest'
import { keyOf, kindOf, type Place } from '../../src/floor/ledger/place.ts'
import { recallOf } from '../../src/floor/trace/recall.ts'
import { traceFrom } from '../../src/floor/trace/trace.ts'
import { factOf } from '../../src/records/fact-rows.ts'
import { entryOf } from '../../src/records/ledger.ts'
import { traceLedger } from '../../src/records/trace-ledger.ts'
import { correctFact } from '../../src/resolvers/floor/correct-fact.ts'
import { rollDays } from '../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { memoryTraceLedger, tracedEntries } from '../support/memory-trace-ledger.ts'
import { openPlannedDemo } from '../support/planned-demo.ts'
import { WHOLE } from '../support/sampled.ts'

const { client, actor, clock } = await openPlannedDemo()
const { distributorId } = actor

const factsOf = (kind: string) =>
  client.fact.findMany({
    where: { distributorId, kind, replacedById: null, withdraws: false },
    orderBy: { number: 'asc' },
  })

beforeAll(async () => {
  await rollDays(actor)
  for (let day = 0; day < 5; day++) {
    clock.set(new Date(clock.now().getTime() + 86_400_000))
    await rollDays(actor)
  }
  // A dispatch is withdrawn, and its delivery stands; a fill was of fewer.
  const delivered = (await factsOf('DELIVERED')).map(({ data }) => Object(data).orderLineId)
  const dispatched = (await factsOf('DISPATCHED')).find(({ data }) => delivered.includes(Object(data).orderLineId))
  const filled = (await factsOf('FILLED')).find(({ data }) => Object(data).quantity > 1)
  if (!dispatched || !filled) throw new Error('something was filled, dispatched and delivered')
  const correct = (id: string, how: object) =>
    correctFact(actor, { fact: encodeGlobalId('Fact', id), ...how }, 'the office')
  await correct(dispatched.id, { withdraw: true })
  await correct(filled.id, { replace: { filled: { quantity: Object(filled.data).quantity - 1 } } })
}, 120_000)

/** What the demo's set-up says of the batches of its lots is no entry: it is left out of the comparison. */
const isOpened = ({ kind }: { kind: string }) => kind === 'LOT_OPENING'

test.runIf(WHOLE)(
  'from every place it reaches the same, and its recall lists are the same',
  { timeout: 120_000 },
  async () => {
    const entries = (await client.ledgerEntry.findMany({ where: { distributorId } })).map(entryOf)
    const facts = (await client.fact.findMany({ where: { distributorId, withdraws: false } })).map(factOf)
    const counting = tracedEntries(entries, facts)
    const [memory, stored] = [memoryTraceLedger(counting), traceLedger(client, distributorId)]
    const places = [...new Set(counting.flatMap(({ from, to }) => [from, to]))]
    const starts = places.filter((place) => ['VESSEL', 'FILLED', 'ON_ROAD', 'AT_ACCOUNT'].includes(kindOf(place)))
    const kinds = new Set(starts.map(kindOf))
    expect([...kinds].sort()).toEqual(['AT_ACCOUNT', 'FILLED', 'ON_ROAD', 'VESSEL'])
    const seen = async (ledger: typeof memory, start: Place) => {
      const { steps, places: reached, isComplete } = await traceFrom([start], ledger)
      const own = steps.filter(({ entry }) => !isOpened(entry))
      return {
        isComplete,
        reached,
        steps: own.map(({ relation, entry }) => `${relation} ${entry.revision}.${entry.n}`),
      }
    }
    for (const start of starts) expect(await seen(stored, start), start).toEqual(await seen(memory, start))
    const lotIds = starts.filter((place) => kindOf(place) === 'FILLED').map((place) => keyOf(place)[0] ?? '')
    expect(await recallOf(lotIds, stored)).toEqual(await recallOf(lotIds, memory))
  },
)
