// A day of a season as text that people read.
import { expect, test } from 'vitest'
import { Diary } from '../../../tools/seasons/diary.ts'
import { wordsOfMoves } from '../../../tools/seasons/plan-moves.ts'
import { storyOf } from '../../../tools/seasons/story.ts'

const DAY = '2027-03-01'

test('a day stands under headings, in the order of a day, with its days in words', () => {
  const diary = new Diary()
  diary.note('to call', 'The Ebbing Clock: a firkin promised for 2027-03-12 comes on 2027-03-20')
  diary.note('brewed', '600 L of stout', '800 L of mild')
  expect(storyOf({ day: DAY, diary, slept: false, evening: { promises: 3, late: 1 } }).split('\n')).toEqual([
    'Monday 1 March',
    '  Brewed     600 L of stout.',
    '             800 L of mild.',
    '  To call    The Ebbing Clock: a firkin promised for Friday 12 March comes on Saturday 20 March.',
    '  Evening    3 promises stand; one of them is late, and its account knows.',
    ...['', ''],
  ])
})

test('no line is wider than a terminal, and a long day is cut short', () => {
  const diary = new Diary()
  diary.note('sold', ...Array.from({ length: 30 }, (_, n) => `${'a long name '.repeat(12)}${n}`))
  const lines = storyOf({ day: DAY, diary, slept: false }).split('\n')
  expect(lines.filter((line) => line.length > 100)).toEqual([])
  expect(lines.join('\n')).toContain('And 22 more.')
})

test('a day on which the server slept says so', () => {
  expect(storyOf({ day: DAY, diary: new Diary(), slept: true })).toContain('Everyone rests')
})

test('what moved is said by day, amount, coming and going', () => {
  const fill = (on: string, amount: number) => ({
    on,
    amount,
    beer: null,
    pack: { name: 'Mild, firkin' },
    vessel: null,
  })
  const brew = { on: DAY, amount: 800.4, beer: { name: 'Mild' }, pack: null, vessel: { name: 'FV1' } }
  const words = wordsOfMoves({
    moved: [
      { kind: 'FILL_RUN', before: fill('2027-03-02', 4), after: fill('2027-03-03', 5) },
      { kind: 'FILL_RUN', before: fill('2027-03-02', 4), after: fill('2027-03-02', 5) },
    ],
    added: [{ kind: 'BREW', before: null, after: brew }],
    dropped: [{ kind: 'FILL_RUN', before: fill('2027-03-09', 1), after: null }],
  })
  expect(words).toEqual([
    'the fill of Mild, firkin moves from 2027-03-02 to 2027-03-03',
    'the fill of Mild, firkin on 2027-03-02 becomes 5 and not 4',
    '800 L more: the brew of Mild in FV1 on 2027-03-01',
    'the fill of Mild, firkin on 2027-03-09 is not needed any more',
  ])
})
