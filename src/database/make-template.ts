// What `npm install` runs at its end: makes the template of the embedded database. Installing does not fail where that fails.
import { makeTemplate } from './template.ts'

try {
  // A folder in place of the usual one, for tests.
  await makeTemplate(process.argv[2])
} catch (error) {
  const why = error instanceof Error ? error.message : String(error)
  console.warn(
    `No template of the embedded database could be made (${why}). The first start takes some seconds longer.`,
  )
}
