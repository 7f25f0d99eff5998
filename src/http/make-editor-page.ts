// What runs on the thread of the query editor: its tabs in, its page out.
import { parentPort, workerData } from 'node:worker_threads'
import { renderGraphiQL } from '@graphql-yoga/render-graphiql'
import { policyOf } from './browsers.ts'
import type { EditorAnswer, EditorTask } from './editor-page.ts'

const { tabs, script }: EditorTask = workerData
const page = renderGraphiQL({ title: 'Fillwright', defaultTabs: [...tabs] })
const whole = script ? page.replace('</head>', () => `<script>${script}</script></head>`) : page
const answer: EditorAnswer = { body: new TextEncoder().encode(whole), policy: policyOf(whole) }
parentPort?.postMessage(answer, [answer.body.buffer])
