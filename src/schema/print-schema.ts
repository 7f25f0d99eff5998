// The API as callers see it, as text: schema.graphql beside this file, which `npm run schema:print` writes.
import { lexicographicSortSchema, printSchema } from 'graphql'
import { schema } from './schema.ts'

const header = '# The API as callers see it. Printed by `npm run schema:print`; do not edit.\n\n'

/** The text of schema.graphql. */
export function schemaText(): string {
  return `${header}${printSchema(lexicographicSortSchema(schema))}\n`
}
