// Documents that cost much to read, to check or to answer: floods, circles, depths.
import type { Random } from '../../seeds/random.ts'
import { oddName, oddText } from './odd-texts.ts'

const sizes = [10, 100, 599, 601, 3000, 20_000]

const many = (count: number, make: (n: number) => string, between = ' ') =>
  Array.from({ length: count }, (_, n) => make(n)).join(between)

/** Each makes a document of about `n` parts. */
export const FLOODS: Readonly<Record<string, (n: number, random: Random) => string>> = {
  aliases: (n) => `{ ${many(n, (i) => `a${i}: distributor { name }`)} }`,
  aliasesOfOne: (n) => `{ distributor { ${many(n, (i) => `a${i}: name`)} } }`,
  aliasesOfLists: (n) => `{ ${many(n, (i) => `a${i}: orders(first: 100) { edges { node { id } } }`)} }`,
  aliasesOfPromises: (n) =>
    `{ ${many(n, (i) => `a${i}: promise(input: { account: { externalRef: "C-101" }, serveOn: "2027-03-20", lines: [{ pack: { externalRef: "MAR-KEG50" }, quantity: 1 }] }) { allOnTime }`)} }`,
  sameField: (n) => `{ distributor { ${many(n, () => 'name')} } }`,
  fragments: (n) =>
    `{ ...f0 } ${many(n, (i) => `fragment f${i} on Query { distributor { name } ${i + 1 < n ? `...f${i + 1}` : ''} }`)}`,
  doubledFragments: (n) =>
    `{ ...f0 } ${many(Math.min(n, 40), (i) => `fragment f${i} on Query { ${i + 1 < Math.min(n, 40) ? `...f${i + 1} ...f${i + 1}` : 'distributor { name }'} }`)}`,
  circle: (n) =>
    `{ ...f0 } ${many(Math.min(n, 500), (i) => `fragment f${i} on Query { ...f${(i + 1) % Math.min(n, 500)} }`)}`,
  ownCircle: () => '{ ...f } fragment f on Query { distributor { name } ...f }',
  unusedFragments: (n) =>
    `{ distributor { name } } ${many(n, (i) => `fragment f${i} on Query { distributor { name } }`)}`,
  deepFields: (n) =>
    `{ vessels(first: 1) { edges { node { ${many(n, () => 'site { vessels(first: 1) { edges { node {')} id ${many(n, () => '} } } }')} } } } }`,
  deepInlines: (n) => `{ ${many(n, () => '... {')} distributor { name } ${many(n, () => '}')} }`,
  deepLists: (n) => `{ nodes(ids: ${'['.repeat(n)}"x"${']'.repeat(n)}) { id } }`,
  deepInputs: (n) => `{ promise(input: ${'{a: '.repeat(n)}1${'}'.repeat(n)}) { allOnTime } }`,
  unclosed: (n) => '{ a '.repeat(n),
  brackets: (n, random) =>
    many(n, () => random.pick(['{', '}', '(', ')', '[', ']', '!', '$', '@', '...', ':', '|', '&']), ''),
  directives: (n) => `{ distributor ${many(n, () => '@include(if: true)')} { name } }`,
  unknownDirectives: (n) => `{ distributor ${many(n, (i) => `@d${i}`)} { name } }`,
  skipped: (n) => `{ ${many(n, (i) => `a${i}: orders(first: 100) @skip(if: true) { edges { node { id } } }`)} }`,
  variables: (n) => `query (${many(n, (i) => `$v${i}: Int = ${i}`, ', ')}) { distributor { name } }`,
  operations: (n) => many(n, (i) => `query q${i} { distributor { name } }`),
  ids: (n) =>
    `{ nodes(ids: [${many(n, (i) => `"${Buffer.from(`Order:${i}`).toString('base64url')}"`, ', ')}]) { id } }`,
  comments: (n) => `${many(n, () => '# nothing\n', '')}{ distributor { name } }`,
  commas: (n) => `{${','.repeat(n)} distributor { name } }`,
  longName: (_, random) => `{ ${oddName(random)} }`,
  oddAlias: (_, random) => `{ ${oddName(random)}: distributor { ${oddName(random)}: name } }`,
  longText: (n) => `{ order(by: { externalRef: "${'é'.repeat(n)}" }) { id } }`,
  blockText: (n) => `{ order(by: { externalRef: """${many(n, () => '\n   x', '')}""" }) { id } }`,
  escapes: (n) => `{ order(by: { externalRef: "${'\\u{1F37A}'.repeat(n)}\\uD800" }) { id } }`,
  hugeInt: (n) => `{ orders(first: ${'9'.repeat(n)}) { edges { node { id } } } }`,
  introspection: (n) =>
    `{ ${many(Math.min(n, 400), (i) => `a${i}: __schema { types { fields { type { fields { type { name } } } } } }`)} }`,
  deepIntrospection: (n) =>
    `{ __schema { types { ${many(n, () => 'fields { type {')} name ${many(n, () => '} }')} } } }`,
  nothing: () => '',
  odd: (_, random) => oddText(random),
  definitions: (n) => many(n, (i) => `type T${i} { a: Int }`),
  largePages: () =>
    '{ orders(first: 100) { edges { node { lines { order { lines { order { lines { id quantity } } } } } } } } }',
  manyPages: (n) => `{ ${many(Math.min(n, 50), (i) => `a${i}: accounts(first: 100) { edges { node { id name } } }`)} }`,
}

/** A flood of some kind and size. */
export function flood(random: Random): string {
  const make = random.pick(Object.values(FLOODS))
  return make(
    random.weighted(sizes, (size) => (size > 1000 ? 1 : 3)),
    random,
  )
}
