// What keeps a draft from coming into force, said with the names of things.
import { expect, test } from 'vitest'
import { demoScenario } from '../../../seeds/demo.ts'
import type { Violation } from '../../../src/planner/index.ts'
import { type FoundObstacle, obstacleInWords } from '../../../src/resolvers/plans/obstacle-words.ts'
import type { Mention } from '../../../src/words/mentions.ts'

const { problem } = demoScenario('2027-03-01')
const [line] = problem.orderLines
const [vessel] = problem.vessels
if (!line || !vessel) throw new Error('the demo has order lines and vessels')
const nameOf = async ({ kind, id }: Mention) =>
  ({ [`orderLine ${line.id}`]: '1041/2', [`pack ${line.packId}`]: 'Dusk Mild, pin', [`vessel ${vessel.id}`]: 'FV3' })[
    `${kind} ${id}`
  ]
const about = `order line "1041/2" (${line.quantity} of pack "Dusk Mild, pin" for ${line.serveOn})`

test('a line that no longer fits, and a promise that would be broken, name order, quantity and pack', async () => {
  const fits = { kind: 'LINE_NO_LONGER_FITS', rule: 'A3', orderLineId: line.id, line } as const
  expect((await obstacleInWords(problem, fits, nameOf)).message).toBe(`What it serves of ${about} no longer fits.`)
  const broken = { ...fits, kind: 'PROMISE_BROKEN', promisedOn: '2027-03-04' } as const
  expect((await obstacleInWords(problem, broken, nameOf)).message).toBe(
    `It would break the promise of 2027-03-04 to ${about}: not all of it is served.`,
  )
  expect((await obstacleInWords(problem, { ...broken, expectedOn: '2027-03-09' }, nameOf)).message).toMatch(
    /: it is served on 2027-03-09\.$/,
  )
  const forward = {
    ...broken,
    kind: 'PROMISE_BROUGHT_FORWARD',
    expectedOn: '2027-03-02',
    servedOn: '2027-03-04',
  } as const
  expect((await obstacleInWords({ ...problem, frozenDays: 3 }, forward, nameOf)).message).toBe(
    `It would bring ${about} forward from 2027-03-04 to 2027-03-02, within the frozen days.`,
  )
})

test('who may not read order lines gets no id, name, quantity or day of one', async () => {
  const broken = { kind: 'PROMISE_BROKEN', rule: 'F2', orderLineId: line.id, promisedOn: '2027-03-04', line } as const
  expect(await obstacleInWords(problem, broken, nameOf, 'HIDDEN')).toEqual({
    kind: 'PROMISE_BROKEN',
    rule: 'F2',
    message: 'It is about an order line that the key may not read.',
  })
  const violation: Violation = { rule: 'A3', message: 'ignored', ids: [line.id, vessel.id] }
  const { message } = await obstacleInWords(problem, { kind: 'RULE_BROKEN', rule: 'A3', violation }, nameOf, 'HIDDEN')
  expect(message).toMatch(/^It breaks A3 [(].*[)]: vessel FV3[.]$/)
  const gone: Violation = { rule: 'DOCUMENT', message: 'ignored', ids: ['line-that-was-cancelled'] }
  const found: FoundObstacle = { kind: 'RULE_BROKEN', violation: gone }
  expect((await obstacleInWords(problem, found, nameOf, 'HIDDEN')).message).toBe('It names what is no longer there.')
})

test('a broken rule says which, when, and by what things, and what it is made of stays inside', async () => {
  const violation: Violation = { rule: 'V3', message: 'ignored', ids: [vessel.id, 'brew-1'], day: '2027-03-05' }
  const found: FoundObstacle = { kind: 'RULE_BROKEN', rule: 'V3', violation }
  expect(await obstacleInWords(problem, found, nameOf)).toEqual({
    kind: 'RULE_BROKEN',
    rule: 'V3',
    message:
      'It breaks V3 (one batch at a time in a vessel that is in service) on Friday 5 March 2027: vessel FV3 and "brew-1".',
  })
})
