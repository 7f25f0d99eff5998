// Vessels to clean on the page of the day: from the day on which one is emptied until a fact says that it is clean.
import { expect, test } from 'vitest'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { readToday } from '../../../src/resolvers/sheets/today.ts'
import { brightVesselBrewery, day, order } from '../../support/one-vessel-brewery.ts'
import { openPlannedBrewery } from '../../support/planned-demo.ts'

const problem = brightVesselBrewery({ orderLines: [order('a', 5, 2)] })
for (const vessel of problem.vessels) vessel.turnaroundDays = 3
const { actor } = await openPlannedBrewery(problem)
const ref = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const site = ref('Site', problem.sites[0]?.id ?? '')
const cleaning = async (on?: string) => {
  const { work } = await readToday(actor, { site, ...(on === undefined ? {} : { day: on }) })
  return work.filter(({ kind, vesselId }) => kind === 'CLEAN_VESSEL' && vesselId === 'tank')
}

test('an emptied vessel is to be cleaned until its turnaround is over; once that is said it stands as done by that fact, and is due no more', async () => {
  const record = async (fact: object) => (await recordFacts(actor, { facts: [fact] }, 'the cellar')).ids[0]
  await record({ filled: { batch: ref('Batch', 'gyle'), pack: ref('Pack', 'cask'), quantity: 5, emptied: true } })
  expect(await cleaning()).toEqual([{ kind: 'CLEAN_VESSEL', vesselId: 'tank', by: day(3) }])
  expect(await cleaning(day(3))).toMatchObject([{ since: day(0), by: day(3) }])
  expect(await cleaning(day(4))).toEqual([])
  const factId = await record({ vesselCleaned: { vessel: ref('Vessel', 'tank') } })
  expect(await cleaning()).toEqual([{ kind: 'CLEAN_VESSEL', vesselId: 'tank', done: { factId, isAssumed: false } }])
  expect(await cleaning(day(3))).toEqual([])
})
