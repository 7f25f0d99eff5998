// npm run -s trust -- query.graphql … > trusted.json: the list of trusted documents of these files, one query in each.
import { readFile } from 'node:fs/promises'
import { documentHash, readTrustedDocuments } from '../http/trusted-documents.ts'
import { schema } from '../schema/schema.ts'

/** The list of the files, as JSON. Rejects where a query does not fit the schema. */
export async function trustedList(files: readonly string[]): Promise<string> {
  const texts = await Promise.all(files.map((file) => readFile(file, 'utf8')))
  const list = JSON.stringify(Object.fromEntries(texts.map((text) => [documentHash(text), text])), null, 2)
  readTrustedDocuments(list, schema)
  return `${list}\n`
}

if (import.meta.url === `file://${process.argv[1]}`) {
  try {
    process.stdout.write(await trustedList(process.argv.slice(2)))
  } catch (error) {
    console.error(error instanceof Error ? error.message : error)
    process.exitCode = 1
  }
}
