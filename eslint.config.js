import tseslint from 'typescript-eslint'

// Typed rules only: the formatter and the quick rules are Biome's.
export default tseslint.config(
  {
    ignores: [
      'dist/**',
      'node_modules/**',
      'coverage/**',
      '**/generated/**',
      '**/*.mjs',
      '**/*.cjs',
      '*.js',
      'src/report/browser/**',
    ],
  },
  ...tseslint.configs.strictTypeChecked,
  {
    languageOptions: { parserOptions: { project: './tsconfig.json', tsconfigRootDir: import.meta.dirname } },
    rules: {
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
    },
  },
  {
    // The last bit of these is up to the engine; src/terms/portable.ts has them with bits that are the same everywhere.
    files: ['src/**/*.ts', 'examples/**/*.ts'],
    ignores: ['src/cli/**', 'src/terms/portable/**'],
    rules: {
      'no-restricted-properties': [
        'error',
        ...[
          ...[
            'sin',
            'cos',
            'tan',
            'asin',
            'acos',
            'atan',
            'atan2',
            'sinh',
            'cosh',
            'tanh',
            'asinh',
            'acosh',
            'atanh',
          ],
          ...['exp', 'expm1', 'log', 'log1p', 'log2', 'log10', 'pow', 'cbrt', 'hypot', 'random'],
        ].map(property => ({ object: 'Math', property, message: 'take it from src/terms/portable.ts' })),
      ],
    },
  },
)
