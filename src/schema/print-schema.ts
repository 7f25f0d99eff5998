// Writes schema.graphql beside itself: the API as callers see it, kept in the repository. `npm run schema:print`.
import { writeFile } from 'node:fs/promises'
import { lexicographicSortSchema, printSchema } from 'graphql'
import { schema } from './schema.ts'

const header = '# The API as callers see it. Printed by `npm run schema:print`; do not edit.\n\n'

/** The text of schema.graphql. */
export function schemaText(): string {
  return `${header}${printSchema(lexicographicSortSchema(schema))}\n`
}

if (import.meta.url === `file://${process.argv[1]}`)
  await writeFile(new URL('schema.graphql', import.meta.url), schemaText())
