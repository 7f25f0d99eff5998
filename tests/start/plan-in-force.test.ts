// What the picture at the start is drawn from.
import { expect, test } from 'vitest'
import { pictureOf } from '../../src/start/picture.ts'
import { readPlanInForce } from '../../src/start/plan-in-force.ts'
import { openPlannedDemo } from '../support/planned-demo.ts'

const { client, clock, actor } = await openPlannedDemo()

test('the picture tells why lines are late with names of vessels, fillers and batches, not with ids of rows', async () => {
  const found = await readPlanInForce({ client, clock }, actor.distributorId)
  if (!found) throw new Error('the demo is planned')
  const { vessels, fillers, batches } = found.problem
  const ids = [...vessels, ...fillers, ...batches].map(({ id }) => id)
  const kept = found.problem.baseline
  const words = (text: string) => text.split(/[^\w-]+/)
  const reasons = [kept?.late, kept?.unserved].flat().flatMap((each) => each?.reasons ?? [])
  expect(reasons.some(({ resource }) => ids.includes(resource?.id ?? ''))).toBe(true)
  const picture = pictureOf(found.problem, found.plan, found.nameOf, found.today).join('\n')
  expect(words(picture).filter((word) => ids.includes(word))).toEqual([])
})
