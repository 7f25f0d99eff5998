// Set-up values that no brewery has are refused, each under its own path with the limit; nothing is written.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { openTestApi } from '../support/api.ts'

const { data, revision } = await openTestApi()

/** Values by kind and field, one more than the limit or just nonsense, and what the message must name. */
const NONSENSE: Record<string, [field: string, value: unknown, limit: RegExp][]> = {
  Site: [
    ['brewsPerDay', 101, /at most 100/],
    ['transfersPerDay', 101, /at most 100/],
    ['brewLitres', 1_000_001, /at most 1000000/],
  ],
  Vessel: [
    ['capacityLitres', 1_000_001, /at most 1000000/],
    ['minFillLitres', 1_000_001, /at most 1000000/],
    ['turnaroundDays', 1101, /at most 1100/],
  ],
  Beer: [
    ['fermentHours', 1441, /at most 1440/],
    ['restHours', 26_401, /at most 26400/],
    ['dryHopHours', 1441, /at most 1440/],
    ['crashHours', 1441, /at most 1440/],
    ['maxTankDays', 1101, /at most 1100/],
    ['brightDays', 1101, /at most 1100/],
    ['maxBrightDays', 1101, /at most 1100/],
    ['maxOpenDays', 1101, /at most 1100/],
    ['lossFraction', 0.51, /at most 0.5/],
    ['setupWeight', 1001, /at most 1000/],
  ],
  Pack: [
    ['conditioningDays', 1101, /at most 1100/],
    ['settleDays', 61, /at most 60/],
    ['shelfLifeDays', 3661, /at most 3660/],
    ['primingWindowDays', 1101, /at most 1100/],
    ['shelfLifeDays', 0, /conditioning and settling alone take/],
  ],
  ContainerType: [
    ['nominalLitres', 1201, /at most 1200/],
    ['overfillFraction', 0.51, /at most 0.5/],
  ],
  Filler: [
    ['minutesPerDay', 1441, /at most 1440/],
    ['setupMinutes', 1441, /at most 1440/],
    ['washMinutes', 1441, /at most 1440/],
    ['setupLossLitres', 10_001, /at most 10000/],
  ],
  Fleet: [['washDays', 61, /at most 60/]],
  Store: [['capacityLitres', 1_000_001, /at most 1000000/]],
  Route: [
    ['transitDays', 61, /at most 60/],
    ['capacityLitres', 1_000_001, /at most 1000000/],
  ],
  Account: [
    ['settleDays', 61, /at most 60/],
    ['minDaysOnSale', 1101, /at most 1100/],
    ['maxEarlyDays', 1101, /at most 1100/],
    ['returnDays', 1101, /at most 1100/],
  ],
}

const lower = (kind: string) => kind.charAt(0).toLowerCase() + kind.slice(1)
const listed = z.object({ list: z.object({ edges: z.array(z.object({ node: z.object({ id: z.string() }) })).min(1) }) })

test.each(
  Object.entries(NONSENSE).flatMap(([kind, cases]) =>
    cases.map(([field, value, limit]) => ({ kind, field, value, limit })),
  ),
)('$kind: $field of $value is refused', async ({ kind, field, value, limit }) => {
  const { list } = listed.parse(await data(`{ list: ${lower(kind)}s(first: 1) { edges { node { id } } } }`))
  const before = await revision()
  const { write } = z.object({ write: z.unknown() }).parse(
    await data(
      `mutation ($input: Change${kind}Input!) { write: change${kind}(input: $input) { __typename
        ... on InvalidInput { issues { path code message action } } } }`,
      { input: { [lower(kind)]: { id: list.edges[0]?.node.id }, [field]: value } },
    ),
  )
  expect(write).toMatchObject({
    __typename: 'InvalidInput',
    issues: [{ path: field, code: 'OUT_OF_RANGE', message: expect.stringMatching(limit), action: expect.any(String) }],
  })
  expect(await revision()).toBe(before)
})
