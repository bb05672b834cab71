# One image for web, worker and clock; the command says which.
FROM python:3.12-slim-bookworm

RUN apt-get update \
    && apt-get install --yes --no-install-recommends \
        fontconfig fonts-dejavu-core libharfbuzz-subset0 libpango-1.0-0 libpangoft2-1.0-0 \
    && rm -rf /var/lib/apt/lists/*

WORKDIR /srv/kingpost
COPY requirements.txt .
RUN pip install --no-cache-dir --require-hashes --requirement requirements.txt

COPY manage.py ./
COPY firm firm
COPY inspections inspections
COPY findings findings
COPY reports reports
COPY static static
COPY fixtures fixtures

# Uploads in progress and derivatives' scratch files live here; see docker-compose.yml.
RUN useradd --system --no-create-home kingpost \
    && install --directory --owner=kingpost var \
    && python -m compileall -q firm inspections findings reports
USER kingpost

ENV PYTHONUNBUFFERED=1
EXPOSE 8000
CMD ["gunicorn", "firm.wsgi:application", "--bind", "0.0.0.0:8000", \
     "--worker-class", "gthread", "--workers", "2", "--threads", "4", \
     "--no-control-socket", "--worker-tmp-dir", "/dev/shm"]
