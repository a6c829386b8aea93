# The two commands of the README are `make demo` and `make test`; each sets everything up by itself.
PY := .venv/bin/python
RUN := .venv/bin/brattice
export PYTHONHASHSEED ?= 0

.PHONY: setup demo test check lint types walls bench soak lock clean

setup: .venv/.ok

.venv/.ok: lock.txt bootstrap.txt pyproject.toml
	python3 -m venv .venv
	.venv/bin/python -m pip install -q --disable-pip-version-check --no-compile --require-hashes --only-binary :all: -r bootstrap.txt
	.venv/bin/uv pip install -q --require-hashes --only-binary :all: --python $(PY) -r lock.txt \
	  || .venv/bin/python -m pip install -q --disable-pip-version-check --require-hashes --only-binary :all: -r lock.txt
	.venv/bin/uv pip install -q --no-deps --no-build-isolation --python $(PY) -e .
	touch $@

demo: setup
	rm -rf build/demo
	$(PY) -m tools.demo build/demo
	$(RUN) check build/demo/job; code=$$?; [ $$code -le 1 ] || exit $$code
	@echo "read build/demo/job/out/report.html"
	$(RUN) issue build/demo/job; code=$$?; [ $$code -le 1 ] || exit $$code
	@echo "see build/demo/job/issued/01: sketches, orders, builders' work, submittals, cause and effect"
	rm -rf build/messy
	$(PY) -m tools.messy build/messy
	$(RUN) check build/messy/job; code=$$?; [ $$code -le 1 ] || exit $$code
	@echo "read build/messy/job/out/report.html"

test: setup
	$(PY) -m pytest -n 2 --dist loadfile

bench: setup
	$(PY) bench/judging.py
	$(PY) bench/schedules.py
	$(PY) bench/pages.py
	$(PY) bench/sketches.py

check: lint types walls

lint: setup
	.venv/bin/ruff check --no-cache src tests tools
	.venv/bin/ruff format --no-cache --check src tests tools

types: setup
	.venv/bin/mypy

walls: setup
	.venv/bin/lint-imports --no-cache

# Long searches from fresh seeds; not part of `make test`.
soak: setup
	HYPOTHESIS_PROFILE=soak $(PY) -m pytest -n 2 --dist loadfile -k "hypothesis or law or property or fuzz" tests

lock: setup
	.venv/bin/uv pip compile -q --universal --python-version 3.11 --no-header --only-binary :all: --generate-hashes bootstrap.in -o bootstrap.txt
	.venv/bin/uv pip compile -q --universal --python-version 3.11 --no-header --only-binary :all: --generate-hashes --extra dev pyproject.toml -o lock.txt
	.venv/bin/uv pip compile -q --universal --python-version 3.11 --no-header --only-binary :all: --generate-hashes pyproject.toml -o lock-run.txt

clean:
	rm -rf .venv build dist out .pytest_cache .mypy_cache .ruff_cache .hypothesis
