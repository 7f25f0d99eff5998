// Tables as they come: what an independent writer (Papa Parse) makes is read as it was, and what is no table is refused with its row.
import fc from 'fast-check'
import Papa from 'papaparse'
import { expect, test } from 'vitest'
import { InvalidInput } from '../../src/errors.ts'
import { rowsIn } from '../../src/tables/read-csv.ts'

const read = async (text: string | Buffer) => {
  const rows = []
  for await (const { row, cells } of rowsIn(Buffer.from(text), () => undefined))
    rows.push([row, Object.fromEntries(cells)])
  return rows
}
const refusal = (text: string | Buffer) =>
  read(text).then(
    () => undefined,
    (error: unknown) => {
      if (!(error instanceof InvalidInput)) throw error
      return [error.code, error.issues[0]?.path, error.message]
    },
  )

const cell = fc.string({ unit: fc.constantFrom('a', '"', ',', '\r\n', '\n', ' ', 'é', '🍺') })

test('what an independent writer makes is read as it was, with either line break', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.record({ a: cell, b: cell }), { minLength: 1, maxLength: 20 }),
      fc.constantFrom('\r\n', '\n'),
      async (rows, newline) => {
        const text = Papa.unparse(rows, { newline, quotes: true })
        expect((await read(text)).map(([, cells]) => cells)).toEqual(rows)
      },
    ),
  )
})

test('rows are counted as spreadsheets count them, lines without anything are left out, and a mark of the byte order is no name', async () => {
  expect(await read('\ufeffa,b\r\n1,"x\r\ny"\r\n\r\n2,z')).toEqual([
    [2, { a: '1', b: 'x\r\ny' }],
    [4, { a: '2', b: 'z' }],
  ])
})

test('quotes that stand wrong, rows of another length, what is not UTF-8 and what is empty are refused with the row', async () => {
  expect(await refusal('a,b\n1,2\n3,x"y\n')).toEqual(['CSV_BAD_QUOTES', 'rows[2]', expect.stringContaining('row 3: ')])
  expect(await refusal('a,b\n1,"x')).toEqual(['CSV_BAD_QUOTES', 'rows[1]', expect.stringContaining('row 2: ')])
  for (const text of ['a,b\n"x', 'externalRef,name\n"x', 'a,b\r\n1,2\r\n"x'])
    expect(await refusal(text)).toMatchObject([
      'CSV_BAD_QUOTES',
      text.includes('1,2') ? 'rows[2]' : 'rows[1]',
      expect.anything(),
    ])
  expect(await refusal('a,b\n1,"x"y\n')).toEqual(['CSV_BAD_QUOTES', 'rows[1]', expect.anything()])
  expect(await refusal('a,b\n1,2,3\n')).toEqual([
    'CSV_CELLS_DIFFER',
    'rows[1]',
    'row 2: has 3 cells, and there are 2 columns',
  ])
  const latin1 = Buffer.concat([Buffer.from('a,b\n1,2\nna'), Buffer.from([0xef]), Buffer.from('ve,2\n')])
  expect(await refusal(latin1)).toEqual(['CSV_WRONG_ENCODING', 'rows[2]', 'row 3: is not in UTF-8'])
  expect(await refusal('')).toEqual(['CSV_NO_ROWS', '', expect.anything()])
})

test('a large table is read without standing in the way of others', async () => {
  const bytes = Buffer.from(`a,b\n${'1,"a text with, some words"\n'.repeat(60_000)}`)
  let turns = 0
  const others = setInterval(() => (turns += 1), 1)
  let rows = 0
  for await (const _ of rowsIn(bytes, () => undefined)) rows += 1
  clearInterval(others)
  expect(rows).toBe(60_000)
  expect(turns).toBeGreaterThan(5)
})
