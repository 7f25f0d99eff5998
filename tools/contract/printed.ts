// What callers build on, as files that are kept in the repository and printed from the code: the schema, its types for TypeScript, and the page
// of all error codes. `npm run schema:print` writes them; a test holds each against the code.
import { writeFile } from 'node:fs/promises'
import { minifyIntrospection, outputIntrospectionFile } from '@gql.tada/internal'
import { introspectionFromSchema } from 'graphql'
import { ERROR_CATALOGUE, ERROR_KINDS } from '../../src/error-catalogue.ts'
import { schemaText } from '../../src/schema/print-schema.ts'
import { schema } from '../../src/schema/schema.ts'

/** The files, each with how its text is made. Paths are from the root of the project. */
export const PRINTED_FILES: Readonly<Record<string, () => string>> = {
  'src/schema/schema.graphql': schemaText,
  'examples/typescript/schema.d.ts': schemaTypes,
  'docs/errors.md': errorPage,
}

/** The schema as types, from which gql.tada gives each query the type of its answer. */
function schemaTypes(): string {
  const introspection = minifyIntrospection(introspectionFromSchema(schema, { descriptions: false, oneOf: true }))
  const types = outputIntrospectionFile(introspection, { fileType: '.d.ts', shouldPreprocess: true })
  return `// The types of the schema. Printed by \`npm run schema:print\`; do not edit.\n${types}`
}

const ERROR_PAGE = `# Error codes

Every refusal has a code that is never renamed: branch on it, and show its message. GraphQL answers a refusal in \`errors\` with the code, its kind and what you can do in
\`extensions\`, or, from a mutation, as a typed error with \`code\`, \`message\` and \`action\`; \`InvalidInput\` lists each fault with its path and code. A status other than 200 means that
the whole request was refused; a code always comes with the same one. What a client does depends on the kind alone: send \`BUSY\` again after
\`retryAfterSeconds\`; read anew what a \`CONFLICT\` names; everything else goes wrong again unless something is changed.

Printed from the code by \`npm run schema:print\`.
`

/** The page of all codes, by kind. */
function errorPage(): string {
  const tables = ERROR_KINDS.map((kind) => {
    const rows = [...ERROR_CATALOGUE]
      .filter(([, entry]) => entry.kind === kind)
      .map(([code, { status, meaning, action }]) => `| \`${code}\` | ${status} | ${cell(meaning)} | ${cell(action)} |`)
      .toSorted()
    return [`## ${kind}`, '', '| code | status | means | what you can do |', '|---|---|---|---|', ...rows].join('\n')
  })
  return `${[ERROR_PAGE.trimEnd(), ...tables].join('\n\n')}\n`
}

/** Words that stand in a table. */
function cell(words: string): string {
  return words.replaceAll('|', '\\|')
}

if (import.meta.url === `file://${process.argv[1]}`)
  for (const [path, text] of Object.entries(PRINTED_FILES))
    await writeFile(new URL(`../../${path}`, import.meta.url), text())
