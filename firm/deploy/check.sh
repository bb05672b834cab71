#!/bin/sh
# Everything that reads the code without running it; names what failed at the end.
# Expects DATABASE_URL and its companions: makemigrations looks at the database.
set -u
failed=""

try() {
    title=$1
    shift
    printf '%s: ' "$title"
    if output=$("$@" 2>&1); then
        echo "ok"
    else
        echo "FAILED"
        printf '%s\n' "$output" | tail -n 60
        failed="$failed, $title"
    fi
}

production() {
    env FIRM_DEBUG=no FIRM_HTTPS=yes FIRM_HOSTS=reports.example \
        FIRM_BASE_URL=https://reports.example FIRM_ORIGINS=https://reports.example \
        FIRM_SECRET_KEY="$(python3 -c 'import secrets; print(secrets.token_urlsafe(64))')" \
        "$@"
}

bin=.venv/bin
apps="firm inspections findings reports"
# shellcheck disable=SC2086  # lists of names
templates=$(find $apps -name '*.html')

try "ruff check" $bin/ruff check --quiet .
try "ruff format" $bin/ruff format --check --quiet .
try "mypy" $bin/mypy .
try "import contracts" $bin/lint-imports --no-logo
# shellcheck disable=SC2086
try "djlint" $bin/djlint --quiet --lint $apps
# shellcheck disable=SC2086
try "djade" $bin/djade --check --target-version 5.2 $templates
try "migrations" $bin/python manage.py makemigrations --check --dry-run
try "settings for production" production $bin/python manage.py check --deploy \
    --fail-level WARNING
try "API description" $bin/python manage.py spectacular --validate --fail-on-warn \
    --file /dev/null

if [ -n "$failed" ]; then
    echo "Failed: ${failed#, }"
    exit 1
fi
echo "All checks passed."
