import { expect, test } from 'vitest'
import { dateOf } from '../../src/database/calendar-day.ts'
import { insertRows } from '../../src/database/insert-rows.ts'
import { openTestDatabase, recordStatements } from '../support/database.ts'

const { client } = await openTestDatabase()

const site = { distributorId: 'd', timeZone: 'Europe/London', brewsPerDay: 1, brewEnds: '16:00', fillStarts: '08:00' }

test('rows come out as they would by createMany: defaults, nulls, lists, days, instants and JSON', async () => {
  await insertRows(client, 'Distributor', [{ id: 'd', name: 'One', timeZone: 'UTC', costs: { brew: 12.5 } }])
  await insertRows(client, 'Site', [
    { ...site, id: 'a', name: 'A "quoted" \\ name', brewWeekdays: [1, 2], fillWeekdays: [], brewLitres: 0.1 },
    { ...site, id: 'b', name: 'Ü', brewWeekdays: [7], fillWeekdays: [1], externalRef: 'x', brewLitres: undefined },
  ])
  await insertRows(client, 'SiteClosure', [{ distributorId: 'd', siteId: 'a', on: dateOf('2027-12-31') }])
  const at = new Date('2027-03-01T09:00:00.123Z')
  await insertRows(client, 'ApiKey', [
    { distributorId: 'd', id: 'k', name: 'K', hash: 'a'.repeat(64), scopes: ['orders:read'], createdAt: at },
  ])
  expect(await client.distributor.findMany()).toMatchObject([
    { id: 'd', revision: 0, horizonDays: 60, frozenDays: 0, costs: { brew: 12.5 } },
  ])
  expect(await client.site.findMany({ orderBy: { id: 'asc' } })).toEqual([
    {
      ...site,
      id: 'a',
      name: 'A "quoted" \\ name',
      brewWeekdays: [1, 2],
      fillWeekdays: [],
      brewLitres: 0.1,
      transfersPerDay: null,
      externalRef: null,
      dayEnds: '23:59',
      endedThrough: null,
      unsaidWork: 'ASSUMED',
      number: 0,
      retiredAt: null,
      updatedAt: expect.any(Date),
    },
    {
      ...site,
      id: 'b',
      name: 'Ü',
      brewWeekdays: [7],
      fillWeekdays: [1],
      brewLitres: null,
      transfersPerDay: null,
      externalRef: 'x',
      dayEnds: '23:59',
      endedThrough: null,
      unsaidWork: 'ASSUMED',
      number: 0,
      retiredAt: null,
      updatedAt: expect.any(Date),
    },
  ])
  expect(await client.siteClosure.findMany()).toEqual([{ distributorId: 'd', siteId: 'a', on: dateOf('2027-12-31') }])
  expect(await client.apiKey.findMany()).toMatchObject([{ scopes: ['orders:read'], createdAt: at, revokedAt: null }])
})

test('rows that give the same fields take one statement, and no rows take none', async () => {
  const days = Array.from({ length: 500 }, (_, index) => new Date(Date.UTC(2028, 0, index)))
  const { statements } = await recordStatements(() =>
    insertRows(
      client,
      'SiteClosure',
      days.map((on) => ({ distributorId: 'd', siteId: 'b', on })),
    ),
  )
  expect(statements).toHaveLength(1)
  expect(await client.siteClosure.count({ where: { siteId: 'b' } })).toBe(500)
  const { statements: none } = await recordStatements(() => insertRows(client, 'SiteClosure', []))
  expect(none).toEqual([])
})
