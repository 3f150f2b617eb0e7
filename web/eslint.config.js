import js from '@eslint/js';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import ts from 'typescript-eslint';

export default ts.config(
  { ignores: ['dist/', 'node_modules/', 'screens/', 'src/api/openapi.d.ts'] },
  js.configs.recommended,
  ...ts.configs.strict,
  ...svelte.configs.recommended,
  { languageOptions: { globals: { ...globals.browser, ...globals.node } } },
  { files: ['**/*.svelte', '**/*.svelte.ts'], languageOptions: { parserOptions: { parser: ts.parser } } },
  {
    rules: {
      eqeqeq: 'error',
      'no-console': 'error',
      // Whatever a pilot writes is shown as text.
      'svelte/no-at-html-tags': 'error',
      // The Content-Security-Policy refuses style attributes; style: directives go through the object model.
      'no-restricted-syntax': ['error', { selector: 'SvelteAttribute[key.name="style"]', message: 'The Content-Security-Policy refuses style attributes; use style:.' }],
      'svelte/no-navigation-without-resolve': 'off',
    },
  },
  { files: ['tests/**', 'tools/**'], rules: { 'no-console': 'off' } },
);
