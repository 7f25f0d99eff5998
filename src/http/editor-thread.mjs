// The start of the thread that makes the page of the query editor, so that requests are answered meanwhile. Plain JavaScript, so that
// the thread starts in any environment (tsx, vitest); it brings its own loader for the TypeScript sources.
import { register } from 'tsx/esm/api'

register()
await import('./make-editor-page.ts')
