// What is due today against the plan and the facts that answer it.
import { expect, test } from 'vitest'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { changeBeer } from '../../../src/resolvers/setup/beer.ts'
import { readToday } from '../../../src/resolvers/sheets/today.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { actor, stored } = await openPlannedDemo()
const refOf = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const { problem } = await stored()
const due = async () => {
  const sheets = await Promise.all(problem.sites.map(({ id }) => readToday(actor, { site: refOf('Site', id) })))
  return sheets.flatMap(({ work }) => work)
}
const record = (fact: object) => recordFacts(actor, { facts: [fact] }, 'the cellar')

test('every decision of the plan for today is due once, in the order of the day', async () => {
  const { plan } = await stored()
  const work = await due()
  const decided = work.flatMap(({ decisionId }) => decisionId ?? [])
  const planned = [
    ...plan.brews.filter(({ brewOn }) => brewOn === problem.today),
    ...plan.transfers.filter(({ on }) => on === problem.today),
    ...plan.fillRuns.filter(({ on }) => on === problem.today),
  ]
  expect(decided.sort()).toEqual(planned.map(({ id }) => id).sort())
})

test('a crash is due until it is said to have begun, and a reading until it is said today', async () => {
  const crash = (await due()).find(({ kind }) => kind === 'CRASH')
  const reading = (await due()).find(({ kind }) => kind === 'READING')
  if (!crash?.batchId || !reading?.batchId) throw new Error('the demo crashes and reads today')
  await record({ reading: { batch: refOf('Batch', reading.batchId), gravity: 1.02 } })
  await record({ crashBegun: { batch: refOf('Batch', crash.batchId) } })
  const after = await due()
  expect(after.filter(({ kind, batchId, done }) => kind === 'CRASH' && batchId === crash.batchId && !done)).toEqual([])
  const read = after.filter(({ kind, batchId }) => kind === 'READING' && batchId === reading.batchId)
  expect(read.map(({ done }) => done?.isAssumed)).toEqual([false])
})

test('beer that has to leave its vessel within a week is listed with its last day', async () => {
  await changeBeer(actor, { beer: { externalRef: 'FOO' }, maxTankDays: 7 })
  const moves = (await due()).filter(({ kind }) => kind === 'MOVE_BEER')
  expect(moves.length).toBeGreaterThan(0)
  for (const { by = '' } of moves) expect(by >= problem.today).toBe(true)
})
