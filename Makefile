# The tasks of this project, for people and for CI alike.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
DEMO   := demo-out

.PHONY: demo test quick lint docs screenshots bench tools scripts clean

demo: $(VENV)/run.stamp ## read Saltmarsh, find its planted mistakes, write the mended model's pack
	@mkdir -p $(DEMO)
	@test -d $(DEMO)/saltmarsh || $(BIN)/lamphouse new $(DEMO)/saltmarsh --from saltmarsh
	@echo; echo "== As first planned: the check must find what was planted (stops are expected here)"
	@$(BIN)/lamphouse check $(DEMO)/saltmarsh/project.yaml; test $$? -eq 1
	@echo; echo "== After the mending"
	$(BIN)/lamphouse check $(DEMO)/saltmarsh/mended.yaml
	$(BIN)/lamphouse pack $(DEMO)/saltmarsh/mended.yaml --into $(DEMO)/saltmarsh/pack
	@echo; echo "== From a part on the scanner to an outline"
	@if test ! -d $(DEMO)/saltmarsh/pictures; then echo "made by an older version: make clean first"; \
	elif $(BIN)/python -c "import cv2" 2>/dev/null; then \
	  $(BIN)/lamphouse trace $(DEMO)/saltmarsh/pictures/bell-plate.jpg --dpi 600; \
	else \
	  echo "reading pictures needs an image library (60 MB), which the demo does not fetch; to see it:"; \
	  echo "  $(BIN)/python -m pip install --constraint constraints.txt -e '.[trace]'"; \
	  echo "  $(BIN)/lamphouse trace $(DEMO)/saltmarsh/pictures/bell-plate.jpg --dpi 600"; \
	fi
	@echo; echo "Open $(DEMO)/saltmarsh/pack/pack.pdf"

test: $(VENV)/dev.stamp tools scripts ## every test, lint and types
	$(MAKE) lint
	$(BIN)/python -m pytest --numprocesses auto --dist loadfile --no-loadscope-reorder

quick: $(VENV)/dev.stamp ## the tests without long searches and real kills
	$(BIN)/python -m pytest --numprocesses auto --dist loadfile --no-loadscope-reorder -m "not slow"

lint: $(VENV)/dev.stamp ## format, lint, strict types, import contract, generated pages up to date
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo
	$(BIN)/python docs/generate.py --check

docs: $(VENV)/dev.stamp ## generated reference pages and all pictures
	$(BIN)/python docs/generate.py
	$(BIN)/python docs/make_pictures.py

screenshots: $(VENV)/dev.stamp ## pictures of the page in every view, both lights, three sizes
	$(BIN)/python docs/make_screenshots.py

bench: $(VENV)/dev.stamp ## speed and memory, as ratios against references in the same run
	$(BIN)/python benchmarks/run.py

tools: ## outside programs some tests need; installed only by root on a Debian system
	@sh .ci/tools

scripts: tests/web/js/node_modules/.stamp ## what checks the scripts of the page, where npm is there

tests/web/js/node_modules/.stamp: tests/web/js/package.json
	@if command -v npm >/dev/null 2>&1; then \
	  npm install --prefix tests/web/js --no-audit --no-fund --loglevel error && touch $@; \
	else \
	  echo "npm is not installed: the checks of the page's scripts will skip"; \
	fi

clean:
	rm -rf $(VENV) $(DEMO) bench-out .pytest_cache .mypy_cache .ruff_cache .hypothesis

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit("Lamphouse needs Python 3.11 or newer; set PYTHON=..." if sys.version_info < (3, 11) else 0)'
	$(PYTHON) -m venv $(VENV)

$(VENV)/run.stamp: pyproject.toml constraints.txt | $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet --constraint constraints.txt --editable .
	@touch $@

$(VENV)/dev.stamp: pyproject.toml constraints.txt | $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet --constraint constraints.txt --editable '.[dev,verify,squeeze]'
	@touch $@ $(VENV)/run.stamp
