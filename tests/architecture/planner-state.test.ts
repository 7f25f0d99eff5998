// The planner keeps what it works on in one place: the state changes through the undo log alone, and no file of the planner
// remembers anything between calls.
import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, test } from 'vitest'

const PLANNER = 'src/planner'
const files = (await readdir(PLANNER, { recursive: true })).filter((name) => name.endsWith('.ts'))
const sources = await Promise.all(
  files.map(async (name) => ({ name, text: await readFile(join(PLANNER, name), 'utf8') })),
)

/** Lines of the planner that match, as `file: line`; none of the excepted file. */
function linesWith(pattern: RegExp, except?: string): string[] {
  return sources
    .filter(({ name }) => name !== except)
    .flatMap(({ name, text }) => text.split('\n').flatMap((line) => (pattern.test(line) ? [`${name}: ${line}`] : [])))
}

test('only the undo log puts placements, stock and lines into a state or takes them out', () => {
  const changes = /\.(apply|remove|applySurplus|lineAdded|lineRemoved)\(/
  const undoLog = sources.find(({ name }) => name === join('model', 'undo-log.ts'))
  expect(undoLog?.text).toMatch(changes)
  expect(linesWith(changes, undoLog?.name)).toEqual([])
})

test('no file of the planner has a variable of its own', () => {
  expect(linesWith(/^(export )?(let|var)\b/)).toEqual([])
})

test('no file of the planner has a list, map, set or typed array of its own that could be written to', () => {
  const list = /^(export )?const \w+(: [^=]+)? = (new (Map|Set|\w*Array)\b|\[)/
  const readOnly = /const \w+: (readonly |Readonly)|\] as const\b/
  expect(linesWith(list).filter((line) => !readOnly.test(line))).toEqual([])
})

test('no object of a file of the planner is written to', () => {
  const written = sources.flatMap(({ name, text }) => {
    const own = [...text.matchAll(/^(?:export )?const (\w+)(?:: [^=\n]+)? = \{/gm)].map(([, each]) => each)
    return own.flatMap((each) =>
      new RegExp(`(?<![.\\w])${each}(\\.\\w+|\\[[^\\]]*\\]) ?([-+*/]?=(?!=)|\\+\\+|--)`).test(text)
        ? [`${name}: ${each}`]
        : [],
    )
  })
  expect(written).toEqual([])
})
