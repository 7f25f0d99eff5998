import { expect, test } from 'vitest'
import { inNames, type Mention } from '../../../src/resolvers/plans/in-names.ts'

const NAMES: Record<string, string> = {
  'vessel 7c9e-1': 'FV3',
  'filler arm-1': 'Racking arm',
  'batch b-7': 'G1041',
  'beer b-8': 'Quernshadow Bitter',
  'site yard': 'Dimmerthwaite Yard',
  'containerType firkin': 'Firkin',
  'route r-1': 'Town',
  'orderLine SLIP-1024/1': '24/1',
  'pack p-1': 'Quernshadow Bitter, firkin',
}
const nameOf = async ({ kind, id }: Mention) => NAMES[`${kind} ${id}`]
const say = (message: string, kind: string, id: string) => inNames({ message, resource: { kind, id } }, nameOf)

test('people read the names of things where the planner wrote their ids', async () => {
  expect(await say('one more vessel like 7c9e-1, free by Friday', 'VESSEL', '7c9e-1')).toBe(
    'one more vessel like FV3, free by Friday',
  )
  expect(await say('14 more filler minutes on Wednesday (filler arm-1)', 'FILLER', 'arm-1')).toBe(
    '14 more filler minutes on Wednesday (filler Racking arm)',
  )
  expect(await say('b-7 is not ready before Sunday.', 'BATCH', 'b-7')).toBe('G1041 is not ready before Sunday.')
  expect(await say('12 more clean containers of type firkin (site yard)', 'FLEET', 'yard/firkin')).toBe(
    '12 more clean containers of type Firkin (site Dimmerthwaite Yard)',
  )
  expect(await say('room in the cold store of site yard', 'STORE', 'yard/COLD')).toBe(
    'room in the cold store of site Dimmerthwaite Yard',
  )
})

test('things that a message names beside its resource get their names too', async () => {
  expect(await say('Beer b-8 may not be brewed into vessel 7c9e-1.', 'VESSEL', '7c9e-1')).toBe(
    'Beer Quernshadow Bitter may not be brewed into vessel FV3.',
  )
  expect(await say('b-7 has too little beer for 4 of pack p-1.', 'BATCH', 'b-7')).toBe(
    'G1041 has too little beer for 4 of pack Quernshadow Bitter, firkin.',
  )
})

test('an order line is told by the number of its order', async () => {
  const message = 'What it serves of order line "SLIP-1024/1" (8 of pack "p-1" for 2026-12-01) no longer fits.'
  expect(await inNames({ message }, nameOf)).toBe(
    'What it serves of order line "24/1" (8 of pack "Quernshadow Bitter, firkin" for 2026-12-01) no longer fits.',
  )
})

test('a brew that is only planned keeps its id, and so does an id within another', async () => {
  expect(await say('The beer was to come from brew-2.', 'BATCH', 'brew-2')).toBe('The beer was to come from brew-2.')
  expect(await say('vessel 7c9e-12 is like vessel 7c9e-1', 'VESSEL', '7c9e-1')).toBe(
    'vessel 7c9e-12 is like vessel FV3',
  )
})

test('words that name nothing are looked up nowhere', async () => {
  const asked: string[] = []
  const message = 'No vessel is free in time for a brew of this beer; the beer at hand is spoken for.'
  const said = await inNames({ message, resource: { kind: 'BEER', id: 'b-8' } }, async ({ id }) => {
    asked.push(id)
    return 'wrong'
  })
  expect(said).toBe(message)
  expect(asked).toEqual([])
})
