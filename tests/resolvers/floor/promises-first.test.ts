// After a fact promises come first: none is broken that could be kept by giving up wishes.
import { expect, test } from 'vitest'
import type { Plan } from '../../../src/planner/documents/index.ts'
import { openLivePlan } from '../../../src/planner/index.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { actor, stored, expectValid } = await openPlannedDemo()

const brokenIn = (plan: Plan | undefined) => plan?.brokenPromises?.map(({ orderLineId }) => orderLineId) ?? []

/** Whether a line could be served by its promised day where wishes give way. */
async function couldBeKept(lineId: string): Promise<boolean> {
  const { problem, plan } = await stored()
  const line = problem.orderLines.find(({ id }) => id === lineId)
  if (!line) throw new Error(`there is no line ${lineId}`)
  const placed = { ...line, latestServeOn: line.promisedOn }
  let isKept = false
  openLivePlan(problem, plan).propose(new Set([lineId]), (trial) => {
    const answers = trial.promise([placed], { unexplained: true })
    isKept = answers.every(({ served, quantity, onTime }) => served === quantity && onTime)
    return []
  })
  return isKept
}

test('fills that yield one container alone break no promise that a wish could give way to', async () => {
  const { plan, problem } = await stored()
  const batches = new Set(problem.batches.map(({ id }) => id))
  const runs = plan.fillRuns.filter(({ batchId, quantity }) => batches.has(batchId) && quantity > 1).slice(0, 6)
  const newlyBroken: string[] = []
  for (const { id, quantity } of runs) {
    const facts = [{ filled: { fillRun: id, quantity: 1, spoiled: quantity - 1 } }]
    const { repaired } = await recordFacts(actor, { facts }, 'the cellar')
    const before = brokenIn(repaired?.before)
    for (const line of brokenIn(repaired?.after).filter((each) => !before.includes(each))) {
      newlyBroken.push(line)
      expect({ line, couldBeKept: await couldBeKept(line) }).toEqual({ line, couldBeKept: false })
    }
  }
  expect(newlyBroken.length).toBeGreaterThan(0)
  await expectValid()
})
