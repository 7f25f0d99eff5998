// The words of the project: plain English that is read once, and one name for each thing. A word that was given up stays so,
// in sources, tests, documents and the schema alike.
import { readdirSync, readFileSync } from 'node:fs'
import { join, relative, resolve } from 'node:path'
import { describe, expect, it, test } from 'vitest'

const ROOT = resolve(import.meta.dirname, '../..')
const HERE = relative(ROOT, import.meta.filename)

/** What is not ours to word, or was published before and stays as it was. */
const LEFT_OUT = ['.git', 'node_modules', 'src/database/generated', 'prisma/migrations', 'package-lock.json', 'LICENSE']
const TEXT = /(^|\/)(run|[^/]*\.(ts|mjs|cjs|md|prisma|graphql|json|sql|toml))$/

/** Roundabout words, each with what says the same plainly. */
const ROUNDABOUT: readonly (readonly [word: string, instead: string])[] = [
  ['whoever', 'who, or the person: a reader, a buyer, a writer'],
  ['nobody', 'no one, no line, no order: what it is that does not'],
  ["nobody's", 'no one’s, or of no line'],
  ['told', 'listed, logged, shown, answered, refused: what is done'],
  ['laid', 'inserted, loaded, placed'],
  ['what came of', 'the result of'],
  ['has it that', 'says that'],
]

/** Names that were given up, each with the one that is used now. */
const GIVEN_UP: readonly (readonly [name: string, instead: string])[] = [
  ['hold-plan', 'carry-forward'],
  ['HeldPlan', 'CarriedPlan'],
  ['first-not-before', 'partition-point'],
  ['firstNotBefore', 'partitionPoint'],
  ['hypothetical', 'scratch batch'],
  ['troubled', 'unsatisfied line'],
  ['lay-baseline', 'load-baseline'],
  ['layBaseline', 'loadBaseline'],
  ['LaidBaseline', 'LoadedBaseline'],
  ['make-way', 'targeted-removal'],
  ['at-once', 'batched-statement'],
  ['noting-risks', 'risks-of-change'],
  ['notingRisks', 'planBefore and noteRisksSince'],
  ['promiseTold', 'promiseEventShape'],
  ['tellCommit', 'notifyCommit'],
]

/** Bare names that say little by themselves: a reader must not have to ask which file's is meant. */
const BARE = ['Source', 'Way', 'Entry', 'Taste', 'Turn', 'Turns']

function patternOf(word: string): RegExp {
  return new RegExp(`(?<![\\w-])${word.replaceAll(' ', '\\s+')}(?![\\w-])`, /[A-Z]/.test(word) ? '' : 'i')
}

/** All text files of the project, by their paths from its root. */
function textFiles(folder = ''): string[] {
  return readdirSync(join(ROOT, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = folder === '' ? entry.name : `${folder}/${entry.name}`
    if (LEFT_OUT.includes(path)) return []
    if (entry.isDirectory()) return textFiles(path)
    return TEXT.test(path) && path !== HERE ? [path] : []
  })
}

const files = textFiles().map((path) => ({ path, lines: readFileSync(join(ROOT, path), 'utf8').split('\n') }))

/** The lines that match, as `file:line: text`. */
function linesWith(pattern: RegExp, among = files): string[] {
  return among.flatMap(({ path, lines }) =>
    lines.flatMap((line, index) => (pattern.test(line) ? [`${path}:${index + 1}: ${line.trim()}`] : [])),
  )
}

test('all parts of the project are read', () => {
  const rooms = ['src/', 'tests/', 'seeds/', 'tools/', 'prisma/schema.prisma', 'README.md', 'DEVELOPERS.md', '.ci/run']
  expect(rooms.filter((room) => !files.some(({ path }) => path.startsWith(room)))).toEqual([])
  expect(files.length).toBeGreaterThan(500)
})

describe('no line says', () => {
  it.each([...ROUNDABOUT, ...GIVEN_UP])('"%s": say %s', (word) => {
    expect(linesWith(patternOf(word))).toEqual([])
  })
})

it.each(BARE)('at most one file declares a type that is called just "%s"; others say what theirs is of', (name) => {
  const sources = files.filter(({ path }) => path.endsWith('.ts'))
  const found = linesWith(new RegExp(`^\\s*(export )?(type|interface|class|enum) ${name}\\b`), sources)
  expect(found.slice(1)).toEqual([])
})

test('a line with such a word is found, with its file and number, and one with a word like it is not', () => {
  const among = [{ path: 'a.ts', lines: ['it was said', '// Whoever was TOLD', 'const retold = what came  of(it)'] }]
  const found = ROUNDABOUT.flatMap(([word]) => linesWith(patternOf(word), among))
  expect(found).toEqual([
    'a.ts:2: // Whoever was TOLD',
    'a.ts:2: // Whoever was TOLD',
    'a.ts:3: const retold = what came  of(it)',
  ])
})
